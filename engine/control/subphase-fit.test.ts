import { describe, expect, test } from 'vitest';
import type { JointSamples } from './impedance.ts';
import { equilibriumOf, impedanceTorque } from './impedance.ts';
import { fitSubphases } from './subphase-fit.ts';

// Two invented sub-phases of an ankle. Expected values: computed independently with NumPy least squares, an active-set
// solver and HiGHS; their printed digits are the tolerance.
const first: JointSamples = {
  angle: Float64Array.of(0.1, 0.14, 0.2, 0.27, 0.33, 0.36, 0.35, 0.31),
  velocity: Float64Array.of(0.8, 1.4, 1.8, 1.7, 1.2, 0.3, -0.6, -1.1),
  torque: Float64Array.of(4, -2.5, -13, -24, -33, -36.5, -33, -25),
};
const second: JointSamples = {
  angle: Float64Array.of(0.31, 0.25, 0.18, 0.12, 0.09, 0.08),
  velocity: Float64Array.of(-1.1, -1.5, -1.6, -1.1, -0.5, 0),
  torque: Float64Array.of(-22, -10, 1, 6, 7.5, 8),
};
const BOUNDS = {
  stiffness: { low: 20, high: 120 },
  damping: { low: 0.5, high: 6 },
  equilibrium: { low: -0.2, high: 0.6 },
};

test('CTL-FIT-1: K, c, B of one sub-phase, its residual and its condition', () => {
  const [{ impedance, rms, condition }] = fitSubphases([first]).subphases;
  expect(impedance.stiffness).toBeCloseTo(159.843769, 6);
  expect(impedance.offset).toBeCloseTo(22.027585, 6);
  expect(impedance.damping).toBeCloseTo(1.80773013, 8);
  expect(equilibriumOf(impedance)).toBeCloseTo(0.137806967, 9);
  expect(rms).toBeCloseTo(0.371297, 6);
  expect(condition).toBeCloseTo(18.2381, 4);
});

test('CTL-FIT-2: bounds that bind, with their multipliers', () => {
  const { subphases, objective } = fitSubphases([first], { bounds: [BOUNDS] });
  const [{ impedance, active, rms }] = subphases;
  expect(impedance.stiffness).toBeCloseTo(120, 9);
  expect(impedance.offset).toBeCloseTo(10.86875, 8);
  expect(impedance.damping).toBeCloseTo(0.5, 9);
  expect(objective).toBeCloseTo(-2408.115156, 6);
  expect(rms).toBeCloseTo(3.283856, 6);
  expect(active.map(({ bound, end }) => `${bound} ${end}`)).toEqual(['stiffness high', 'damping low']);
  expect(active[0]!.multiplier).toBeCloseTo(2.273625, 6);
  expect(active[1]!.multiplier).toBeCloseTo(4.146875, 6);
});

test('CTL-FIT-2: bounds that do not bind change nothing', () => {
  const wide = {
    stiffness: { low: 1, high: 1000 },
    damping: { low: 0, high: 50 },
    equilibrium: { low: -1, high: 1 },
  };
  const [free] = fitSubphases([first]).subphases;
  const [held] = fitSubphases([first], { bounds: [wide] }).subphases;
  expect(held.active).toEqual([]);
  expect(held.impedance.stiffness).toBeCloseTo(free.impedance.stiffness, 8);
});

test('CTL-FIT-3: pulled towards a known impedance', () => {
  const [{ impedance }] = fitSubphases([first], {
    towards: {
      impedance: { stiffness: 100, offset: 10, damping: 2 },
      weight: { stiffness: 1e-4, offset: 1e-3, damping: 1e-1 },
    },
  }).subphases;
  expect(impedance.stiffness).toBeCloseTo(159.680819, 6);
  expect(impedance.offset).toBeCloseTo(21.9799925, 7);
  expect(impedance.damping).toBeCloseTo(1.80171503, 8);
});

describe('CTL-FIT-4: the second sub-phase, and both with one torque at the switch', () => {
  const state = { angle: 0.31, velocity: -1.1 };
  const torques = (switches: readonly (typeof state)[]) => {
    const schedule = fitSubphases([first, second], { switches });
    return {
      ...schedule,
      at: schedule.subphases.map(({ impedance }) => impedanceTorque(impedance, state.angle, state.velocity)),
    };
  };

  test('apart they jump', () => {
    const { subphases, at } = torques([]);
    expect(subphases[1]!.impedance.stiffness).toBeCloseTo(148.973994, 6);
    expect(subphases[1]!.impedance.offset).toBeCloseTo(19.0661188, 7);
    expect(subphases[1]!.impedance.damping).toBeCloseTo(5.09422431, 8);
    expect(at[1]! - at[0]!).toBeCloseTo(4.0233077, 7);
  });

  test('together they do not', () => {
    const { subphases, at, continuity } = torques([state]);
    const [x1, x2] = subphases.map(({ impedance }) => impedance);
    expect(x1!.stiffness).toBeCloseTo(161.51563, 5);
    expect(x1!.offset).toBeCloseTo(23.339874, 6);
    expect(x1!.damping).toBeCloseTo(2.5473936, 7);
    expect(x2!.stiffness).toBeCloseTo(164.07392, 5);
    expect(x2!.offset).toBeCloseTo(19.92196, 5);
    expect(x2!.damping).toBeCloseTo(6.3755604, 7);
    expect(at[0]).toBeCloseTo(-23.927839, 6);
    expect(at[1]! - at[0]!).toBeCloseTo(0, 9);
    expect(continuity[0]).toBeCloseTo(-2.986127, 6); // the solvers write H·x − f + Σ μ·row = 0
    expect(subphases[0]!.rms).toBeCloseTo(0.859034, 6);
    expect(subphases[1]!.rms).toBeCloseTo(1.2877, 4);
  });
});

test('a joint that never moves tells nothing', () => {
  const still = {
    angle: new Float64Array(5).fill(0.1),
    velocity: new Float64Array(5),
    torque: new Float64Array(5),
  };
  expect(() => fitSubphases([still])).toThrow(
    'the quadratic form is not positive definite: some unknown is not told apart by the data. Bring data that differ more, or fewer unknowns.',
  );
});
