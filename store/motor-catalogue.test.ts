// Every bad catalogue: what is said, and where. The demo study is copied and its catalogue spoilt in one place.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { copyOfDemo, faultsOf, spoilt } from './test-spoilt.ts';

const CATALOGUE_FAULTS: [string, string | RegExp, string, string][] = [
  [
    'a motor twice',
    'SR-F44-14,',
    'SR-F44-08,',
    'the motor `SR-F44-08` stands further up already. Rename one of the two.',
  ],
  ['a motor without a name', 'SR-F44-14,', ',', 'this motor has no name. Give it one in the column `name`.'],
  [
    'a column that is not known',
    'rotor_inertia',
    'rotor_inertai',
    '`rotor_inertai [kg*m^2]` is not a column of a motor catalogue. Did you mean `rotor_inertia`?',
  ],
  [
    'a column without its unit',
    'resistance [mohm]',
    'resistance',
    '`720.3` has no unit, but this field is a resistance.',
  ],
  [
    'a column of another dimension',
    'mass [kg]',
    'mass [m]',
    '`0.132 m` is a length, but this field is a mass.',
  ],
  [
    'a torque constant without a convention',
    'flux_linkage [mV*s]',
    'torque_constant [mN*m/A]',
    'a torque constant without its convention is not a constant. Add a column `convention` with perPhasePeak, perPhaseRms, dcEquivalent.',
  ],
  [
    'a negative cell',
    ',7,7.07,720.3',
    ',7,7.07,-720.3',
    '`-720.3` must be above zero. Correct the value, or leave the cell empty.',
  ],
  [
    'a cell too many, as a decimal comma makes it',
    '720.3',
    '720,3',
    'this row has 11 cells, the header 10. Give every column a cell; leave it empty where unknown.',
  ],
  [
    'half a pole pair',
    'SR-F44-08,7,',
    'SR-F44-08,7.5,',
    '`7.5` is not a number of pole pairs. Write a whole number above zero.',
  ],
];
for (const [title, from, to, text] of CATALOGUE_FAULTS) {
  test(`motor catalogue: ${title}`, async () => {
    const faults = await faultsOf(spoilt('motors/demo.csv', from, to));
    expect(faults[0]).toContain('motors/demo.csv:');
    expect(faults[0]).toContain(text);
  });
}

test('a motor that stands in two catalogues', async () => {
  const folder = copyOfDemo();
  writeFileSync(join(folder, 'motors/own.csv'), readFileSync(join(folder, 'motors/demo.csv')));
  expect((await faultsOf(folder))[0]).toBe(
    'motors/own.csv: the motor `SR-F44-08` stands in motors/demo.csv too. Rename one of the two: a leg names its motor by this.',
  );
});
