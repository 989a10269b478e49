// Every bad input a study file can hold: what is said, where, and how to mend it. The demo study is copied, spoilt in one place,
// and opened; the text of the fault is the contract.
import { chmodSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Fault } from '@striderule/engine';
import { expect, test } from 'vitest';
import { openStudy } from './open-study.ts';
import { damage } from './test-damage.ts';
import { copyOfDemo as copy, faultsOf, only, spoilt } from './test-spoilt.ts';

test('the demo study is sound', async () => {
  expect(await faultsOf(copy())).toEqual([]);
});

const LEG = 'legs/tern.yaml';

test('wrong unit: a mass in the field of a torque', async () => {
  expect(
    await only(spoilt(LEG, 'outputBreakaway: { value: 0.10 N*m', 'outputBreakaway: { value: 0.10 kg')),
  ).toBe(
    'legs/tern.yaml:LINE:33 joints.knee.transmission.outputBreakaway.value: `0.10 kg` is a mass, but this field is a torque. Use one of: N*m, mN*m.\n' +
      '        outputBreakaway: { value: 0.10 kg, range: 30 %, basis: assumed, because: seals and output bearing }\n' +
      `  ${' '.repeat(32)}^`,
  );
});

test('an energy is not a torque', async () => {
  expect(await only(spoilt(LEG, 'limits: { torque: 150 N*m', 'limits: { torque: 150 J'))).toMatch(
    '`150 J` is an energy, but this field is a torque. Use one of: N*m, mN*m.',
  );
});

test('missing unit', async () => {
  expect(await only(spoilt(LEG, 'torsionalStiffness: 900 N*m/rad', 'torsionalStiffness: 900'))).toMatch(
    '`900` has no unit, but this field is a rotational stiffness. Add one of: N*m/rad, N*m/deg.',
  );
});

test('mixed-up unit', async () => {
  expect(await only(spoilt(LEG, 'backlash: 0.15 deg', 'backlash: 0.15 degC'))).toMatch(
    '`0.15 degC` is a temperature, but this field is an angle. Use one of: rad, deg, mrad.',
  );
});

test('untagged torque constant: told the three conventions', async () => {
  expect(
    await only(spoilt(LEG, 'catalogue: SR-F92-14', 'catalogue: SR-F92-14\n      torqueConstant: 148 mN*m/A')),
  ).toMatch(
    'joints.knee.motor.torqueConstant: a torque constant without its convention is not a constant. Write { value: 22 mN*m/A, convention: … } with perPhasePeak (per peak phase ampere), perPhaseRms (per rms phase ampere) or dcEquivalent (six-step drive).',
  );
});

test('a torque constant of the wrong convention leaves its mark', async () => {
  const own =
    'polePairs: 20\n      torqueConstant: { value: 148.5 mN*m/A, convention: perPhaseRms }\n      speedConstant: 0.17145 V*s/rad\n      resistance: 65.79 mohm\n      inductanceQ: 49 uH\n      rotorInertia: 2.1e-4 kg*m^2\n      peakCurrent: 56.4 A\n      mass: 0.5 kg';
  expect(await only(spoilt(LEG, 'catalogue: SR-F92-14', own))).toMatch(
    'torque constant and speed constant disagree by -29 %, the mark of a torque constant that is per peak phase ampere, not per rms phase ampere',
  );
});

test('negative inertia', async () => {
  expect(await only(spoilt(LEG, 'inertia: 0.043 kg*m^2', 'inertia: -0.043 kg*m^2'))).toMatch(
    'segments.shank.inertia: `-0.043 kg*m^2` must not be negative. Give zero or a positive value.',
  );
});

test('efficiency above 1', async () => {
  expect(await only(spoilt(LEG, 'value: 94 %', 'value: 940 %'))).toMatch(
    'drivingEfficiency.value: `940 %` must be above 0 and at most 1. An efficiency is power out ÷ power in: write 0.94 or 94 %.',
  );
});

test('ratio 0', async () => {
  expect(await only(spoilt(LEG, 'ratio: 22', 'ratio: 0'))).toMatch(
    'joints.knee.transmission.ratio: `0` is no ratio. A ratio is motor speed ÷ joint speed and above zero.',
  );
});

test('a parts list that does not sum', async () => {
  expect(
    await only(
      spoilt(
        LEG,
        'part: battery, segment: shank, mass: 0.62 kg',
        'part: battery, segment: shank, mass: 0.80 kg',
      ),
    ),
  ).toMatch(
    'segments.shank.mass: the parts of `shank` sum to 3.080 kg, the segment is 2.900 kg. Correct a part or the segment: they must agree within 1 %.',
  );
});

test('decimal comma', async () => {
  expect(await only(spoilt(LEG, 'mass: 2.9 kg', 'mass: 2,9 kg'))).toMatch(
    'segments.shank.mass: `2,9 kg` has a decimal comma. Write `2.9 kg`.',
  );
});

test('misspelt field: its neighbour, and not missed as well', async () => {
  expect(await only(spoilt(LEG, 'backlash:', 'baklash:'))).toMatch(
    'baklash: `baklash` is not a field here. Did you mean `backlash`?',
  );
});

test('missing field', async () => {
  expect(await only(spoilt(LEG, / +backlash: .*\n/, ''))).toMatch(
    'backlash: `backlash` is missing. Add `backlash:` here',
  );
});

test('duplicate keys', async () => {
  expect(await only(spoilt('wearers/w01.yaml', 'height: 1.76 m', 'height: 1.76 m\nheight: 1.80 m'))).toMatch(
    /^wearers\/w01\.yaml:LINE:1: this key stands twice in one map\. Keep one of the two and delete the other\.\n {2}height: 1\.80 m\n {2}\^$/,
  );
});

test('tabs', async () => {
  expect(await only(spoilt(LEG, '  thighPart:\n    mass', '  thighPart:\n\tmass'))).toBe(
    'legs/tern.yaml:LINE:1: a tab is used for indentation. Indent with spaces.\n  \tmass: 1.3 kg\n  ^',
  );
});

test('alias bomb', async () => {
  const bomb = [
    'a: &a [x, x, x, x, x, x, x, x, x, x]',
    'b: &b [*a, *a, *a, *a, *a, *a, *a, *a, *a, *a]',
    'c: &c [*b, *b, *b, *b, *b, *b, *b, *b, *b, *b]',
    'd: [*c, *c, *c, *c, *c, *c, *c, *c, *c, *c]',
  ].join('\n');
  expect(await only(spoilt('wearers/w01.yaml', 'code: W01', `code: W01\n${bomb}`))).toMatch(
    'aliases in this file expand more than 100 times. Write the values out where they are used.',
  );
});

for (const key of ['__proto__', 'constructor']) {
  test(`${key} as a field`, async () => {
    expect(await only(spoilt('wearers/w01.yaml', 'code: W01', `code: W01\n${key}: { mass: 1 }`))).toMatch(
      `\`${key}\` cannot be the name of a field. Delete this line.`,
    );
    expect(({} as { mass?: number }).mass).toBeUndefined();
  });
}

test('a newer format', async () => {
  expect(await only(spoilt('study.yaml', 'format: 2', 'format: 7'))).toBe(
    'study.yaml:LINE:9 format: this study has format 7, this program reads 2. Use the version of Striderule that wrote it, or a newer one.\n  format: 7\n          ^',
  );
});

test('several faults in several files come at once', async () => {
  const folder = spoilt(LEG, 'ratio: 22', 'ratio: 0');
  writeFileSync(
    join(folder, 'wearers/w01.yaml'),
    readFileSync(join(folder, 'wearers/w01.yaml'), 'utf8').replace('82 kg', '82 m'),
  );
  const text = await openStudy(folder).then(
    () => '',
    (error: Fault) => error.message,
  );
  expect(text).toMatch('is no ratio');
  expect(text).toMatch('`82 m` is a length, but this field is a mass');
});

test('a name that points nowhere: stride, motor, metric, task, leg', async () => {
  expect(await only(spoilt('tasks/walk-slow.yaml', 'walk-slow }', 'walk-slo }'))).toMatch(
    'There is no reference stride `walk-slo`. Did you mean `walk-slow`?',
  );
  expect(await only(spoilt('legs/tern.yaml', 'SR-F92-14', 'SR-F92-15'))).toMatch(
    'There is no motor `SR-F92-15` in motors/*.csv. Did you mean `SR-F92-14`?',
  );
  expect(
    await only(spoilt('requirements.yaml', 'metric: breakawayTorque', 'metric: breakawayTorqe')),
  ).toMatch('There is no metric `breakawayTorqe`. Did you mean `breakawayTorque`?');
  expect(await only(spoilt('requirements.yaml', 'task: walk-fast', 'task: walk-fsat'))).toMatch(
    'There is no task `walk-fsat`. Did you mean `walk-fast`?',
  );
  expect((await faultsOf(spoilt('study.yaml', 'leg: tern', 'leg: term')))[0]).toBe(
    'legs/term.yaml: there is no such file. Create it, or correct the name that points to it.',
  );
});

test('a bound of the wrong dimension', async () => {
  expect(await only(spoilt('requirements.yaml', 'atMost: 3 N*m', 'atMost: 3 N'))).toMatch(
    '`3 N` is a force, but this field is a torque',
  );
});

test('a task that says two things, or none', async () => {
  expect(await only(spoilt('tasks/stand.yaml', 'standing:', 'peaks: rise-from-chair\nstanding:'))).toMatch(
    'the task says peaks and standing. Give exactly one of `from:` (a stride), `peaks:` or `standing:`.',
  );
});

test('assumed without a reason', async () => {
  expect(await only(spoilt(LEG, ', because: no run-down test yet', ''))).toMatch(
    'an assumed value has no reason. Add `because:` with the reason.',
  );
});

test('a file that may not be read', async (context) => {
  const folder = copy();
  chmodSync(join(folder, LEG), 0o000);
  // root reads everything: the case is then the kernel's, not ours, to make
  if (process.getuid?.() === 0) {
    writeFileSync(join(folder, LEG), Buffer.from([0xff, 0xfe, 0x00]));
    expect((await faultsOf(folder))[0]).toBe(
      'legs/tern.yaml: this file is not UTF-8 text. Save it as UTF-8.',
    );
    return;
  }
  expect((await faultsOf(folder))[0]).toBe(
    'legs/tern.yaml: this file may not be read by you. Give yourself permission to read it.',
  );
  context.annotate('unprivileged');
});

test('random damage is a fault or harmless, never a crash', { timeout: 180_000 }, async () => {
  await damage(11, 150);
});
