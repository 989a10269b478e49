import { expect, test } from 'vitest';
import { randomStream } from './random.ts';
import { normalBelow } from './test-normal.ts';

const DRAWS = 40_000;

// Kolmogorov's limit: P(√n·D > 1.949) = 0.001, Massey, J. Amer. Statist. Assoc. 46 (1951) 68, table of large n.
const distance = (draws: Float64Array, below: (x: number) => number): number => {
  const sorted = draws.toSorted();
  let most = 0;
  sorted.forEach((x, k) => {
    const p = below(x);
    most = Math.max(most, Math.abs(p - k / DRAWS), Math.abs(p - (k + 1) / DRAWS));
  });
  return Math.sqrt(DRAWS) * most;
};

test('uniform draws are uniform, normal draws normal', () => {
  const { uniform, normal } = randomStream(7);
  // NIST/SEMATECH e-Handbook, §1.3.6.7.1: 0.95 at 1.645
  expect(normalBelow(1.6448536269514722)).toBeCloseTo(0.95, 12);
  expect(
    distance(
      Float64Array.from({ length: DRAWS }, () => uniform()),
      (x) => x,
    ),
  ).toBeLessThan(1.949);
  expect(
    distance(
      Float64Array.from({ length: DRAWS }, () => normal()),
      normalBelow,
    ),
  ).toBeLessThan(1.949);
});

test('neighbours in the stream do not know of one another; a seed repeats, another differs', () => {
  const draws = (seed: number) => {
    const { normal } = randomStream(seed);
    return Float64Array.from({ length: DRAWS }, () => normal());
  };
  const a = draws(1);
  for (const lag of [1, 2, 3]) {
    let product = 0;
    for (let k = lag; k < DRAWS; k++) product += a[k] * a[k - lag];
    // of independent draws: mean 0, deviation 1/√n
    expect(Math.abs(product / DRAWS)).toBeLessThan(4 / Math.sqrt(DRAWS));
  }
  expect(draws(1)).toEqual(a);
  expect(draws(2)[0]).not.toBe(a[0]);
});
