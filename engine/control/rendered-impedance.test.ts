import { describe, expect, test } from 'vitest';
import { meshTorque } from './mesh-torque.ts';
import {
  impedanceBandwidth,
  renderedImpedance,
  slowReading,
  stiffnessBandwidth,
} from './rendered-impedance.ts';
import { loopAge, type SampledJoint } from './sampled-joint.ts';
import { handTorque, JOINT } from './test-joint.ts';

const gains = { stiffness: 200, damping: 4 };
const within = (got: number, want: number, relative: number): void => {
  expect(Math.abs(got / want - 1), `${got} for ${want}`).toBeLessThan(relative);
};

/** First harmonic of the hand's torque ÷ amplitude of the angle, over whole periods after the start has died away. */
function measured(joint: SampledJoint, f: number, amplitude: number): { re: number; im: number } {
  const w = 2 * Math.PI * f;
  const [settle, count] = [Math.ceil(f), 2];
  const angle = (t: number): number => amplitude * Math.sin(w * t);
  const { dt, torque } = handTorque({
    joint,
    ...gains,
    angle,
    duration: (settle + count) / f,
    fine: 20,
  });
  let [re, im, n] = [0, 0, 0];
  for (let i = Math.round(settle / f / dt); i < torque.length; i++) {
    const t = (i + 0.5) * dt;
    re += torque[i] * Math.sin(w * t);
    im += torque[i] * Math.cos(w * t);
    n++;
  }
  return { re: (2 * re) / n / amplitude, im: (2 * im) / n / amplitude };
}

describe('CTL-IMP-1 a round joint at 200 N·m/rad and 4 N·m·s/rad', () => {
  // computed independently with NumPy from the transfer function, complex arithmetic
  test.each([
    [0.5, 199.730149, 3.88579773],
    [1, 198.920419, 3.88417733],
    [2, 195.678863, 3.87770276],
    [5, 172.870608, 3.8326944],
    [10, 89.7812268, 3.67631074],
    [20, -265.51968, 3.11215313],
    [50, -3359.35535, 0.795225213],
  ])('%f Hz', (f, stiffness, damping) => {
    const got = renderedImpedance(JOINT, gains, f);
    within(got.stiffness, stiffness, 1e-8);
    within(got.damping, damping, 1e-8);
  });

  test('slow motion, and the formula of frequency tends to it', () => {
    const slow = slowReading(JOINT, gains);
    within(loopAge(JOINT), 0.00181830989, 1e-8);
    within(JOINT.filterPole, 0.685922166, 1e-8);
    within(slow.damping, 3.88633802, 1e-8);
    within(slow.inertia, 0.0273401544, 1e-8);
    const f = 0.05;
    const low = renderedImpedance(JOINT, gains, f);
    within(low.damping, slow.damping, 1e-5);
    within((200 - low.stiffness) / (2 * Math.PI * f) ** 2, slow.inertia, 1e-4);
  });
});

describe('CTL-IMP-2 the sampled loop in time', () => {
  test.each([2, 5, 10, 20])('%f Hz', (f) => {
    const w = 2 * Math.PI * f;
    const got = renderedImpedance(JOINT, gains, f);
    const { re, im } = measured(JOINT, f, 0.01);
    const size = Math.hypot(got.stiffness, w * got.damping);
    expect(Math.hypot(re - got.stiffness, im - w * got.damping) / size).toBeLessThan(1e-3);
  });

  test('with dry friction, mesh loss, an output side, half a period of encoder delay and a wrong constant', () => {
    const joint: SampledJoint = {
      ...JOINT,
      rotorCoulomb: 1.2,
      outputInertia: 0.01,
      outputDamping: 0.1,
      outputCoulomb: 0.3,
      drivingEfficiency: 0.94,
      backDrivenEfficiency: 0.93,
      delay: 1.5e-3,
      constantError: -0.05,
    };
    for (const f of [1, 4, 8]) {
      const w = 2 * Math.PI * f;
      const got = renderedImpedance(joint, gains, f, 0.05);
      const { re, im } = measured(joint, f, 0.05);
      const size = Math.hypot(got.stiffness, w * got.damping);
      // the mesh meets the harmonics of the friction before it as well, which one harmonic leaves out
      expect(Math.hypot(re - got.stiffness, im - w * got.damping) / size, `${f} Hz`).toBeLessThan(0.02);
    }
  });
});

test('mesh: first harmonic against a sum over a period, any phase', () => {
  for (let phi = -3.1; phi < 3.2; phi += 0.23) {
    const [re, im] = [7 * Math.cos(phi), 7 * Math.sin(phi)];
    const got = meshTorque(re, im, 0.9, 0.85);
    let [a, b] = [0, 0];
    const n = 20_000;
    for (let k = 0; k < n; k++) {
      const x = (2 * Math.PI * (k + 0.5)) / n;
      const g = re * Math.sin(x) + im * Math.cos(x);
      const torque = g * Math.cos(x) > 0 ? g / 0.85 : g * 0.9;
      a += (2 / n) * torque * Math.sin(x);
      b += (2 / n) * torque * Math.cos(x);
    }
    expect(Math.abs(got[0] - a) + Math.abs(got[1] - b)).toBeLessThan(1e-5);
  }
});

describe('elastic gears', () => {
  const kg = 900;
  test('measured at the motor two springs stand in series; at the joint the asked one is felt; both slow', () => {
    const slow = (measuredAt: 'motor' | 'joint'): number =>
      renderedImpedance({ ...JOINT, gearStiffness: kg, measuredAt }, gains, 0.01).stiffness;
    within(slow('motor'), (kg * 200) / (kg + 200), 1e-5);
    within(slow('joint'), 200, 1e-5);
  });

  test('slow motion: the formula of frequency tends to the reading', () => {
    for (const measuredAt of ['motor', 'joint'] as const) {
      const joint = { ...JOINT, gearStiffness: kg, measuredAt, outputInertia: 0.01, outputDamping: 0.1 };
      const slow = slowReading(joint, gains);
      const f = 0.1;
      const low = renderedImpedance(joint, gains, f);
      within(low.damping, slow.damping, 1e-4);
      const still = measuredAt === 'motor' ? (kg * 200) / (kg + 200) : 200;
      within((still - low.stiffness) / (2 * Math.PI * f) ** 2, slow.inertia, 1e-3);
    }
  });

  test('very fast motion meets the gears alone, the rotor stands', () => {
    for (const measuredAt of ['motor', 'joint'] as const) {
      const { stiffness } = renderedImpedance(
        { ...JOINT, gearStiffness: kg, measuredAt },
        { stiffness: 0, damping: 0 },
        190,
      );
      within(stiffness, kg, 0.02);
    }
  });

  test('very stiff gears are rigid ones', () => {
    for (const measuredAt of ['motor', 'joint'] as const) {
      const got = renderedImpedance({ ...JOINT, gearStiffness: 1e12, measuredAt }, gains, 10);
      within(got.stiffness, renderedImpedance(JOINT, gains, 10).stiffness, 1e-6);
    }
  });
});

const rendering = { requested: gains, software: gains, amplitude: Number.POSITIVE_INFINITY };

describe('CTL-FBW up to where the joint is what was asked for, to a tenth', () => {
  // computed independently with NumPy: the first beyond a tenth of a series a quarter per cent apart
  test.each([
    [0.01, 9.4884],
    [0.045, 4.5742],
    [0.2, 1.6837],
    [1, 0.72009],
  ])('inertia %f', (rotorInertia, hertz) => {
    within(impedanceBandwidth({ ...JOINT, rotorInertia }, rendering), hertz, 2.5e-3);
  });

  test('a constant that is 12 % wrong is not right at any frequency', () => {
    expect(impedanceBandwidth({ ...JOINT, constantError: 0.12 }, rendering)).toBe(0);
  });

  test('of the stiffness alone: √(0.1·K/J_app)/2π with the inertia of slow motion, while that is what it loses', () => {
    for (const rotorInertia of [0.2, 1]) {
      const joint = { ...JOINT, rotorInertia };
      const { inertia } = slowReading(joint, gains);
      within(stiffnessBandwidth(joint, rendering), Math.sqrt((0.1 * 200) / inertia) / (2 * Math.PI), 1e-3);
    }
    expect(stiffnessBandwidth({ ...JOINT, constantError: 0.12 }, rendering)).toBe(0);
  });
});
