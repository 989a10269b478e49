import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { driveFigures } from './drive-figures.ts';
import { driveLoad, type JointTrajectory } from './drive-load.ts';
import type { JointDrive } from './leg-drive.ts';
import { currentFor } from './motor-torque.ts';
import { motorConstants } from './torque-constant.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

/** Invented: the demo motor behind 22:1. */
const drive: JointDrive = {
  motor: {
    name: 'demo',
    polePairs: 20,
    fluxLinkage: 4.949e-3,
    resistance: 65.79e-3,
    referenceTemperature: 293.15,
    inductanceD: 49.07e-6,
    inductanceQ: 49.07e-6,
    rotorInertia: 2.148e-4,
    copperCoefficient: 0.00393,
    magnetCoefficient: -0.0012,
    coulombDrag: 0.05,
    viscousDrag: 1.2e-4,
    breakawayDrag: 0.05,
    peakCurrent: 56.4,
    mass: 0.497,
  },
  transmission: {
    ratio: 22,
    inputInertia: 2e-5,
    outputInertia: 0,
    drivingEfficiency: 0.94,
    backDrivenEfficiency: 0.935,
    outputCoulomb: 0.1,
    outputViscous: 0,
    outputBreakaway: 0.1,
    backlash: rad(0.0026),
    torsionalStiffness: 900,
  },
  currentLimit: 56.4,
  modulation: 'spaceVector',
  voltageMargin: 1,
  range: { from: rad(-0.5), to: rad(0.5) },
};
const constant = (moment: number, velocity: number, acceleration = 0): JointTrajectory => ({
  angle: Float64Array.of(0, 0),
  velocity: Float64Array.of(velocity, velocity),
  acceleration: Float64Array.of(acceleration, acceleration),
  moment: Float64Array.of(moment, moment),
});
const bare: JointDrive = {
  ...drive,
  motor: { ...drive.motor, coulombDrag: 0, viscousDrag: 0 },
  transmission: { ...drive.transmission, outputCoulomb: 0 },
};

test('power sent through the mesh and back again returns as η_f·η_b', () => {
  const there = driveLoad(bare, constant(40, 2), 44).motorTorque[0];
  const back = driveLoad(bare, constant(40, -2), 44).motorTorque[0];
  expect(back / there).toBeCloseTo(0.94 * 0.935, 12);
});

test('energy balance: shaft power = joint power + mesh loss + friction + rotor', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -120, max: 120, noNaN: true }),
      fc.double({ min: -8, max: 8, noNaN: true }),
      fc.double({ min: -200, max: 200, noNaN: true }),
      (moment, velocity, acceleration) => {
        const t = driveLoad(drive, constant(moment, velocity, acceleration), 44).motorTorque[0];
        const shaft = t * 22 * velocity;
        const gear = moment + 0.1 * Math.sign(velocity);
        const through = gear * velocity;
        const meshLoss = through >= 0 ? through * (1 / 0.94 - 1) : -through * (1 - 0.935);
        const drag = (0.05 + 1.2e-4 * 22 * Math.abs(velocity)) * 22 * Math.abs(velocity);
        const rotor = 22 * 22 * (2.148e-4 + 2e-5) * acceleration * velocity;
        const sum = moment * velocity + 0.1 * Math.abs(velocity) + meshLoss + drag + rotor;
        return meshLoss >= 0 && Math.abs(shaft - sum) < 1e-9 * (1 + Math.abs(sum));
      },
    ),
    { seed: 5 },
  );
});

test('mirrored motion gives mirrored torque', () => {
  const [a, b] = [driveLoad(drive, constant(50, 3, 20), 44), driveLoad(drive, constant(-50, -3, -20), 44)];
  expect(b.motorTorque[0]).toBe(-a.motorTorque[0]);
  expect(b.speedLimit[0]).toBeCloseTo(a.speedLimit[0], 9);
});

test('a moment that is not known stays unknown; speed is still judged', () => {
  const load = driveLoad(drive, constant(Number.NaN, 5), 44);
  expect(load.peakTorque).toBeNaN();
  expect(load.rmsTorque).toBeNaN();
  expect(load.torqueMargin).toBeNaN();
  expect(load.speedMargin).toBeCloseTo(load.speedLimit[0] / 110, 12);
});

test('curves made when they are asked for are the plain ones, also where no moment is known, and JSON has them', () => {
  const joint: JointTrajectory = {
    angle: new Float64Array(4),
    velocity: Float64Array.of(2, -3, 0, 1),
    acceleration: Float64Array.of(9, 0, -20, 1),
    moment: Float64Array.of(40, 60, -30, Number.NaN),
  };
  const saturating = { ...drive, motor: { ...drive.motor, saturationCurrent: 80 } };
  const load = driveLoad(saturating, joint, 44);
  const [limit, { motor }] = [phaseVoltageLimit(44, saturating), saturating];
  for (let i = 0; i < 4; i++) {
    const current = currentFor(motor, load.motorTorque[i]);
    expect(load.current[i]).toBe(current);
    expect(load.motorSpeed[i]).toBe(22 * joint.velocity[i]);
    const along = joint.velocity[i] < 0 ? -current : current;
    expect(load.speedLimit[i]).toBe(speedLimit(motor, limit, Number.isNaN(current) ? 0 : along));
  }
  const written = JSON.parse(JSON.stringify(load));
  expect(Object.values(written.current).slice(0, 3)).toEqual([...load.current.slice(0, 3)]);
  for (const name of ['motorTorque', 'current', 'motorSpeed', 'speedLimit', 'peakTorque', 'speedMarginIndex'])
    expect(written, name).toHaveProperty(name);
});

test('a spring takes its share only while engaged', () => {
  const spring = { stiffness: 100, equilibrium: rad(-0.1), engaged: { from: rad(0), to: rad(0.3) } };
  // τ_spring = −k(θ − θ0) = −10 N·m at θ = 0: asked for −10 N·m, the motor has nothing to hold
  expect(driveLoad({ ...bare, parallelSpring: spring }, constant(-10, 0), 44).motorTorque[0]).toBeCloseTo(
    0,
    12,
  );
  const off = { ...spring, engaged: { from: rad(0.1), to: rad(0.3) } };
  expect(driveLoad({ ...bare, parallelSpring: off }, constant(-10, 0), 44).motorTorque[0]).not.toBeCloseTo(
    0,
    3,
  );
});

// λ = 4.949 mV·s, 20 pole pairs, N = 22, space-vector modulation with a margin of 0.95, by hand: 0.95·V_dc/√3/(p·λ)/N is 519 °/s
// at 36 V and 693 at 48 V. Running at 2.5 m/s asks the knee for 632 °/s
// (Fukuchi, Duarte & Ferber, running data set, derived from its angles): out of reach on the one bus, in reach on the other.
test('unloaded speed at 36 and 48 V against running', () => {
  const degrees = (V: number) =>
    (driveFigures({ ...drive, voltageMargin: 0.95 }, V).unloadedSpeed * 180) / Math.PI;
  expect(Math.abs(degrees(36) - 519)).toBeLessThan(1);
  expect(Math.abs(degrees(48) - 693)).toBeLessThan(1);
  expect(degrees(36)).toBeLessThan(632);
  expect(degrees(48)).toBeGreaterThan(632);
  for (const V of [36, 48])
    expect(degrees(V)).toBeCloseTo(
      ((0.95 * V) / motorConstants(4.949e-3, 20).keLinePeak / 22) * (180 / Math.PI),
      9,
    );
});

// Facts of the trade: 8 N·m behind 22:1 is 176 N·m without loss, and less with the mesh.
test('poster torque and usable torque are both given', () => {
  const eight: JointDrive = {
    ...bare,
    motor: { ...bare.motor, fluxLinkage: 8 / (1.5 * 20 * 50), peakCurrent: 50 },
    currentLimit: 50,
  };
  const f = driveFigures(eight, 44);
  expect(f.peakTorqueLossless).toBeCloseTo(176, 9);
  expect(f.peakTorque).toBeCloseTo(176 * 0.94, 9);
  expect(
    driveFigures({ ...eight, transmission: { ...eight.transmission, ratio: 44 } }, 44).reflectedInertia,
  ).toBeCloseTo(4 * f.reflectedInertia, 12);
});
