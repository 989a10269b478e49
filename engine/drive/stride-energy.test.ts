import { describe, expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import type { Supply } from './battery.ts';
import { driveLoad, type JointTrajectory } from './drive-load.ts';
import type { Bridge } from './inverter-loss.ts';
import { jointPower } from './joint-power.ts';
import type { JointDrive } from './leg-drive.ts';
import { strideEnergy } from './stride-energy.ts';
import { motor, near, transmission } from './test-motor.ts';

const inverter: Bridge = {
  switchingFrequency: 20e3,
  onResistance: 3e-3,
  switchingTime: 60e-9,
  quiescentPower: 2,
};
const supply: Supply = { openCircuitVoltage: 44.4, resistance: 0.12, chargeLimit: 5 };

let seed = 1117;
const random = (): number => {
  seed = (seed * 48271) % 2147483647;
  return seed / 2147483647;
};
const between = (low: number, high: number): number => low + (high - low) * random();

/** A smooth closed stride: two harmonics of angle and of moment. */
function stride(n: number, time: number, moment: number): JointTrajectory {
  const w = (2 * Math.PI) / time;
  const [a, b, p, q, r] = [between(0.1, 0.5), between(0, 0.2), between(0, 6), between(0, 6), between(0, 6)];
  const made = (of: (t: number) => number): Float64Array =>
    Float64Array.from({ length: n }, (_, i) => of((time * i) / (n - 1)));
  return {
    angle: made((t) => a * Math.sin(w * t + p) + b * Math.sin(2 * w * t + q)),
    velocity: made((t) => a * w * Math.cos(w * t + p) + 2 * b * w * Math.cos(2 * w * t + q)),
    acceleration: made((t) => -a * w * w * Math.sin(w * t + p) - 4 * b * w * w * Math.sin(2 * w * t + q)),
    moment: made((t) => moment * (Math.sin(w * t + r) + 0.6 * Math.sin(2 * w * t + p))),
  };
}

function drive(): JointDrive {
  return {
    motor: {
      ...motor,
      coulombDrag: between(0, 0.1),
      viscousDrag: between(0, 3e-4),
      ...(random() < 0.5 && { saturationCurrent: 200 }),
    },
    transmission: {
      ...transmission,
      ratio: between(6, 40),
      inputInertia: between(0, 5e-5),
      outputInertia: between(0, 0.01),
      drivingEfficiency: between(0.7, 1),
      backDrivenEfficiency: between(0.6, 1),
      outputCoulomb: between(0, 0.5),
      outputViscous: between(0, 0.1),
    },
    ...(random() < 0.5 && {
      parallelSpring: {
        stiffness: between(0, 100),
        equilibrium: rad(between(-0.2, 0.2)),
        engaged: { from: rad(-10), to: rad(10) },
      },
    }),
    currentLimit: 60,
    modulation: 'spaceVector',
    voltageMargin: 0.95,
    range: { from: rad(-2), to: rad(2) },
  };
}

const partOf = (d: JointDrive, joint: JointTrajectory, hot = false) =>
  jointPower(
    d,
    joint,
    driveLoad(d, joint, 44.4).motorTorque,
    inverter,
    hot ? { winding: 393.15, magnets: 393.15 } : undefined,
  );

describe('balance', () => {
  test('what the cells give is mechanical work and losses, over random drives, strides, springs and temperatures', () => {
    let judged = 0;
    for (let k = 0; k < 60; k++) {
      const time = between(0.7, 1.6);
      const parts = [40, 90].map((moment) => partOf(drive(), stride(201, time, moment), k % 2 === 0));
      const brake = k % 3 === 0 ? undefined : { resistance: 5.9, threshold: k % 3 === 1 ? 52 : 44.8 };
      const energy = strideEnergy(parts, supply, brake, time);
      if (Number.isNaN(energy.cells)) continue;
      judged++;
      expect(Math.abs(energy.residual)).toBeLessThan(1e-9 * (energy.drawn + energy.returned));
      expect(energy.cells).toBeCloseTo(energy.drawn - energy.returned, 9);
      for (const joint of energy.joints)
        for (const loss of ['copper', 'drag', 'mesh', 'outputFriction', 'conduction', 'switching'] as const)
          expect(joint[loss]).toBeGreaterThanOrEqual(0);
      // rotors and springs give back what they took: their curves are periodic, for which the trapezoid is exact
      for (const { kinetic, spring } of energy.joints) {
        expect(Math.abs(kinetic)).toBeLessThan(1e-9);
        expect(Math.abs(spring)).toBeLessThan(1e-9);
      }
    }
    expect(judged).toBeGreaterThan(30);
  });

  test('what one joint gives the other is what both would draw alone less what they draw together', () => {
    const parts = [40, 90].map((moment) => partOf(drive(), stride(201, 1.1, moment)));
    const stiff: Supply = { openCircuitVoltage: 44.4, resistance: 0 };
    const energy = strideEnergy(parts, stiff, undefined, 1.1);
    const alone = energy.joints.reduce((sum, { drawn }) => sum + drawn, 0);
    near(alone - energy.drawn, energy.given[0] + energy.given[1], 1e-9);
    const back = energy.joints.reduce((sum, { returned }) => sum + returned, 0);
    near(back - energy.returned, energy.given[0] + energy.given[1], 1e-9);
    expect(energy.given[0] + energy.given[1]).toBeGreaterThan(0.1);
  });
});

test('a weight lifted at constant speed, by hand', () => {
  // 20 N·m at 2 rad/s through 16:1 and 93 %: nothing accelerates, and every loss is a product
  const n = 3;
  const even = (x: number): Float64Array => new Float64Array(n).fill(x);
  const joint = { angle: even(0), velocity: even(2), acceleration: even(0), moment: even(20) };
  const d: JointDrive = {
    motor,
    transmission,
    currentLimit: 60,
    modulation: 'spaceVector',
    voltageMargin: 1,
    range: { from: rad(-1), to: rad(1) },
  };
  const energy = strideEnergy([partOf(d, joint)], supply, undefined, 0.5);
  const [j] = energy.joints;
  const through = (20 + 0.1) * 2;
  const torque = 0.022 + 1.5e-4 * 32 + (20 + 0.1) / (16 * 0.93);
  const current = torque / (1.5 * 14 * 0.007);
  near(j!.mechanical, 0.5 * 40, 1e-12);
  near(j!.outputFriction, 0.5 * 0.1 * 2, 1e-12);
  near(j!.mesh, 0.5 * (through / 0.93 - through), 1e-12);
  near(j!.drag, 0.5 * (0.022 + 1.5e-4 * 32) * 32, 1e-12);
  near(j!.copper, 0.5 * 1.5 * 0.08 * current ** 2, 1e-12);
  near(j!.conduction, 0.5 * 1.5 * 3e-3 * current ** 2, 1e-12);
  expect(j!.quiescent).toBe(1);
  near(energy.flow.voltage[0]!, 44.4 - 0.12 * energy.flow.current[0]!, 1e-12);
});

test('DRV-P13: constant drag takes most of a small torque: 0.854 at 5 N·m, 0.910 at 20 N·m, 0.925 at 80 N·m', () => {
  const plain = { ...transmission, outputCoulomb: 0 };
  const { parallelSpring: _, ...unsprung } = drive();
  const d: JointDrive = {
    ...unsprung,
    motor: { ...motor, coulombDrag: 0.03, viscousDrag: 0 },
    transmission: plain,
  };
  const even = (x: number): Float64Array => new Float64Array(3).fill(x);
  for (const [moment, efficiency] of [
    [5, 0.853775],
    [20, 0.909696],
    [80, 0.924839],
  ] as const) {
    const joint = { angle: even(0), velocity: even(2), acceleration: even(0), moment: even(moment) };
    const { mechanical, drag, mesh } = partOf(d, joint).mean;
    near(mechanical / (mechanical + drag + mesh), efficiency);
  }
});

test('hot copper and weak magnets cost more of the same stride', () => {
  const [d, joint] = [drive(), stride(201, 1.1, 60)];
  const [cold, hot] = [partOf(d, joint), partOf(d, joint, true)];
  expect(hot.mean.copper).toBeGreaterThan(1.39 * cold.mean.copper);
  expect(hot.mean.mechanical).toBe(cold.mean.mechanical);
});

test('a torque beyond saturation has no energy, and says so by NaN', () => {
  const d = { ...drive(), motor: { ...motor, saturationCurrent: 5 } };
  const energy = strideEnergy([partOf(d, stride(201, 1.1, 60))], supply, undefined, 1.1);
  expect(energy.cells).toBeNaN();
});
