import { describe, expect, test } from 'vitest';
import { type Load, loopPolynomial } from './loop-polynomial.ts';
import { largestStableStiffness, slowestRoot, stable } from './loop-stability.ts';
import { loopAge, type SampledJoint } from './sampled-joint.ts';
import { growth, JOINT } from './test-joint.ts';

const FREE: Load = { inertia: 0 };
const within = (got: number, want: number, relative: number): void => {
  expect(Math.abs(got / want - 1), `${got} for ${want}`).toBeLessThan(relative);
};
const largest = (joint: SampledJoint, B: number, load: Load = FREE): number =>
  largestStableStiffness(loopPolynomial(joint, load)!, B, joint.rotorInertia / joint.period ** 2);

const BARE: SampledJoint = {
  ...JOINT,
  rotorInertia: 1,
  rotorDamping: 0,
  delay: 0,
  currentLag: 0,
  filterPole: 0,
  period: 1,
};

describe('CTL-IMP-4 exact stability', () => {
  // computed independently with NumPy and SciPy: eigenvalues of the closed loop's matrix, bisection on the stiffness
  test.each([
    [0, 137.7617],
    [1, 595.8246],
    [2, 942.9492],
    [4, 1417.201],
    [8, 1836.606],
    [12, 1843.814],
    [16, 1595.384],
  ])('filtered, damping %f', (B, K) => {
    within(largest(JOINT, B), K, 1e-6);
  });

  test.each([
    [0, 137.7617],
    [1, 670.5541],
    [2, 1173.908],
    [4, 2091.022],
    [8, 3557.24],
    [12, 4512.431],
    [16, 4928.545],
  ])('plain difference, damping %f', (B, K) => {
    within(largest({ ...JOINT, filterPole: 0 }, B), K, 1e-6);
  });

  test('eigenvalues at 200 and 4 are roots; the largest is found', () => {
    const loop = loopPolynomial(JOINT, FREE)!;
    const p = loop.open.map((x, i) => x + 200 * loop.spring[i] + 4 * loop.damper[i]);
    // as above: modulus and argument from real and imaginary part
    for (const [re, im] of [
      [0.9094403194716414, 0.06881631815954503],
      [0.8964553738297495, 0],
      [0.0041299597149027124, 0.05028821026000264],
    ] as const) {
      let [a, b] = [0, 0];
      for (let i = p.length - 1; i >= 0; i--) [a, b] = [a * re - b * im + p[i], a * im + b * re];
      expect(Math.hypot(a, b)).toBeLessThan(1e-10);
    }
    within(slowestRoot(loop, { stiffness: 200, damping: 4 }), 0.9120402295544408, 1e-8);
  });

  test('inertia alone, plain difference, no delay: the closed form 2β(2 − β)/(2 + β)', () => {
    for (const beta of [0.2, 0.5, 0.828427, 1.2, 1.8])
      within(largest(BARE, beta), (2 * beta * (2 - beta)) / (2 + beta), 1e-9);
  });

  test.each([
    [0, 0.8284, 0.686292],
    [1, 0.4247, 0.144469],
    [2, 0.2913, 0.0624305],
  ])('best of %f periods of delay', (delay, beta, alpha) => {
    within(largest({ ...BARE, delay }, beta), alpha, 1e-5);
    for (const other of [0.97 * beta, 1.03 * beta])
      expect(largest({ ...BARE, delay }, other)).toBeLessThan(alpha);
  });

  test('the line (b + B)/T_tot at little damping', () => {
    within(largest(JOINT, 0), JOINT.rotorDamping / loopAge(JOINT), 3e-3);
    // Gil et al. 2009 call it the linear limit: never the verdict, too high where damping is large
    for (const B of [4, 8])
      expect(largest({ ...JOINT, filterPole: 0 }, B)).toBeLessThan((0.25 + B) / loopAge(JOINT));
  });
});

describe('the sampled loop in time dies out below the limit and grows above it', () => {
  const elastic: SampledJoint = { ...JOINT, gearStiffness: 900, outputDamping: 0.02, outputInertia: 0.001 };
  const cases: readonly (readonly [string, SampledJoint, Load, number])[] = [
    ['rigid gears with a limb', JOINT, { inertia: 0.1 }, 4],
    ['a delay of one and a half periods', { ...JOINT, delay: 1.5e-3 }, FREE, 4],
    ['elastic gears, measured at the motor', elastic, { inertia: 0.05 }, 4],
    ['elastic gears, measured at the joint', { ...elastic, measuredAt: 'joint' }, { inertia: 0.05 }, 0.05],
    ['elastic gears, output held', elastic, 'held', 4],
  ];
  test.each(cases)('%s', (_, joint, load, damping) => {
    const limit = largest(joint, damping, load);
    expect(limit).toBeGreaterThan(0);
    expect(growth(joint, 0.95 * limit, damping, load)).toBeLessThan(1);
    expect(growth(joint, 1.05 * limit, damping, load)).toBeGreaterThan(1);
    const loop = loopPolynomial(joint, load)!;
    expect(stable(loop, { stiffness: 0.95 * limit, damping })).toBe(true);
    expect(stable(loop, { stiffness: 1.05 * limit, damping })).toBe(false);
  });

  test('nothing that is measured can move: no loop', () => {
    expect(loopPolynomial(JOINT, 'held')).toBeUndefined();
    expect(loopPolynomial({ ...elastic, measuredAt: 'joint' }, 'held')).toBeUndefined();
  });
});
