import { expect, test } from 'vitest';
import { conditioning } from './conditioning.ts';

test('two columns by hand: singular values of [[1, 0], [0, 2], [0, 0]], and what noise makes of the unknowns', () => {
  const { condition, perNoise } = conditioning([
    Float64Array.of(1, 0),
    Float64Array.of(0, 2),
    Float64Array.of(0, 0),
  ]);
  expect(condition).toBeCloseTo(2, 12);
  expect([...perNoise]).toEqual([1, 0.5]);
});

test('a line through points: slope deviates by 1/√Σ(x − mean)²', () => {
  const x = [0, 1, 2, 5];
  const { perNoise } = conditioning(x.map((at) => Float64Array.of(1, at)));
  expect(perNoise[1]).toBeCloseTo(1 / Math.sqrt(x.reduce((sum, at) => sum + (at - 2) ** 2, 0)), 12);
});

test('columns that depend on one another, and fewer rows than unknowns, are not told apart', () => {
  const same = [1, 2, 3].map((a) => Float64Array.of(a, 2 * a));
  expect(conditioning(same).condition).toBe(Number.POSITIVE_INFINITY);
  expect(conditioning(same.slice(0, 1)).perNoise[0]).toBe(Number.POSITIVE_INFINITY);
});
