// Every bad catalogue: what is said, and where. The demo study is copied and its catalogue spoilt in one place.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { engineCatalogue, readCatalogue } from './motor-catalogue.ts';
import { openStudy } from './open-study.ts';
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
    'this row has 20 cells, the header 19. Give every column a cell; leave it empty where unknown.',
  ],
  [
    'a negative drag',
    ',0.132,0.006535,',
    ',0.132,-0.006535,',
    '`-0.006535` must be zero or more. Correct the value, or leave the cell empty.',
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

describe('motors to try in the place of the leg’s', () => {
  const head =
    'name,pole_pairs,torque_constant [N*m/A],convention,resistance [ohm],inductance_q [mH],rotor_inertia [g*cm^2]';
  const more =
    'peak_current [A],mass [kg],coulomb_drag [N*m],viscous_drag [N*m*s/rad],breakaway_drag [N*m],magnet_coefficient [%/K]';
  const made = (...rows: string[]) => {
    const { faults, ...catalogue } = readCatalogue('motors/own.csv', rows.join('\n'));
    expect(faults).toEqual([]);
    return engineCatalogue(catalogue);
  };

  test('a whole one in SI: convention turned into flux linkage, drag may be zero, no heat path', () => {
    const { motors, leftOut } = made(
      `${head},${more}`,
      'own,14,0.147,perPhasePeak,0.08,0.09,3000,60,0.5,0,0,0,-0.12',
    );
    expect(leftOut).toEqual([]);
    expect(motors).toHaveLength(1);
    const [{ motor, thermal }] = motors as [(typeof motors)[number]];
    // K_t = 1.5·p·λ per peak phase ampere
    expect(motor.fluxLinkage).toBeCloseTo(0.147 / (1.5 * 14), 12);
    expect(motor.rotorInertia).toBeCloseTo(3e-4, 15);
    expect(motor.inductanceQ).toBeCloseTo(90e-6, 15);
    expect(motor.magnetCoefficient).toBeCloseTo(-0.0012, 15);
    expect(motor.coulombDrag).toBe(0);
    expect(thermal).toBeUndefined();
  });

  test('one that lacks something is left out, with the columns it lacks', () => {
    const { motors, leftOut } = made(`${head},${more}`, 'own,14,,,0.08,0.09,3000,60,0.5,,0,0,-0.12');
    expect(motors).toEqual([]);
    expect(leftOut).toEqual([
      { name: 'own', lacks: ['coulomb_drag', 'one of flux_linkage and torque_constant'] },
    ]);
  });

  test('half a heat path is none', () => {
    const heat =
      'winding_to_housing [K/W],housing_to_ambient [K/W],winding_capacity [J/K],housing_capacity [J/K],winding_limit [degC]';
    const row = 'own,14,0.147,perPhasePeak,0.08,0.09,3000,60,0.5,0,0,0,-0.12';
    const half = made(`${head},${more},${heat}`, `${row},0.55,2.2,60,,120`);
    expect(half.motors[0]!.thermal).toBeUndefined();
    const whole = made(`${head},${more},${heat}`, `${row},0.55,2.2,60,350,120`);
    expect(whole.motors[0]!.thermal).toEqual({
      windingToHousing: 0.55,
      housingToAmbient: 2.2,
      windingCapacity: 60,
      housingCapacity: 350,
      windingLimit: 393.15,
    });
  });

  test('the demo catalogue is whole, and its 92 mm motor is the demo leg’s', async () => {
    const { input } = await openStudy(copyOfDemo());
    const { motors, leftOut } = input.catalogue!;
    expect(leftOut).toEqual([]);
    expect(motors).toHaveLength(12);
    const own = input.leg.joints.knee!;
    const same = motors.find(({ motor }) => motor.name === own.motor.name)!;
    expect(same.motor).toEqual(own.motor);
    const { stallFactor: _, ...thermal } = own.thermal!;
    expect(same.thermal).toEqual(thermal);
  });
});
