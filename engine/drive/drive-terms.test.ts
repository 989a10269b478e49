import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { driveLoad } from './drive-load.ts';
import { driveTerms } from './drive-terms.ts';
import type { JointDrive } from './leg-drive.ts';

const drive: JointDrive = {
  motor: {
    name: 'check',
    polePairs: 20,
    fluxLinkage: 5e-3,
    resistance: 0.07,
    referenceTemperature: 293.15,
    inductanceD: 5e-5,
    inductanceQ: 5e-5,
    rotorInertia: 2e-4,
    saturationCurrent: 90,
    copperCoefficient: 0,
    magnetCoefficient: 0,
    coulombDrag: 0.05,
    viscousDrag: 1e-4,
    breakawayDrag: 0.06,
    peakCurrent: 56,
    mass: 0.5,
  },
  transmission: {
    ratio: 20,
    inputInertia: 0.5e-4,
    outputInertia: 1e-3,
    drivingEfficiency: 0.9,
    backDrivenEfficiency: 0.8,
    outputCoulomb: 0.2,
    outputViscous: 0.05,
    outputBreakaway: 0.3,
    backlash: rad(0),
    torsionalStiffness: 900,
  },
  parallelSpring: { stiffness: 40, equilibrium: rad(0.1), engaged: { from: rad(0), to: rad(0.5) } },
  currentLimit: 56,
  modulation: 'spaceVector',
  voltageMargin: 0.95,
  range: { from: rad(-1), to: rad(2) },
};

// By hand: τ_g = 40 + 40·(0.2 − 0.1) + 1e-3·10 + (0.2 + 0.05·2) = 44.31; inertia 20·2.5e-4·10 = 0.05; drag 0.05 + 1e-4·20·2 = 0.054;
// mesh 44.31/(20·0.9) = 2.46167 driving.
test('terms of one instant, by hand, motor driving', () => {
  const terms = driveTerms(drive, { angle: 0.2, velocity: 2, acceleration: 10, moment: 40 });
  expect(terms.gear).toBeCloseTo(44.31, 9);
  expect(terms.backDriven).toBe(false);
  expect(terms.inertia).toBeCloseTo(0.05, 12);
  expect(terms.drag).toBeCloseTo(0.054, 12);
  expect(terms.mesh).toBeCloseTo(2.461667, 6);
  expect(terms.motorTorque).toBeCloseTo(0.05 + 0.054 + 2.461667, 6);
});

test('joint driving: the mesh carries the load’s η_b-th part', () => {
  const terms = driveTerms(drive, { angle: 0.8, velocity: -2, acceleration: 0, moment: 40 });
  expect(terms.backDriven).toBe(true);
  expect(terms.mesh).toBeCloseTo((39.7 * 0.8) / 20, 12);
});

test('the sum is driveLoad’s torque and current at every sample', () => {
  const wave = (a: number, k: number, shift: number) =>
    Float64Array.from({ length: 201 }, (_, i) => a * Math.sin((2 * Math.PI * k * i) / 200 + shift));
  const joint = {
    angle: wave(0.5, 1, 0),
    velocity: wave(4, 1, 1.5),
    acceleration: wave(60, 2, 0.3),
    moment: wave(90, 1, 2.2),
  };
  const load = driveLoad(drive, joint, 44.4);
  for (let i = 0; i < 201; i++) {
    const terms = driveTerms(drive, {
      angle: joint.angle[i],
      velocity: joint.velocity[i],
      acceleration: joint.acceleration[i],
      moment: joint.moment[i],
    });
    expect(terms.motorTorque).toBeCloseTo(load.motorTorque[i], 12);
    expect(terms.current).toBeCloseTo(load.current[i], 9);
  }
});
