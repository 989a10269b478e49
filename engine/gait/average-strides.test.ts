import fc from 'fast-check';
import { expect, test } from 'vitest';
import { averageStrides } from './average-strides.ts';

test('mean and sample deviation of 1 … n are (n + 1)/2 and √(n(n + 1)/12), also on top of a large number', () => {
  for (const top of [0, 1e9]) {
    const n = 100;
    const average = averageStrides(1, 1);
    for (let i = 1; i <= n; i++) average.add([[top + i]]);
    expect(average.count()).toBe(n);
    expect(average.mean()[0][0]).toBeCloseTo(top + (n + 1) / 2, 6);
    expect(average.deviation()[0][0]).toBeCloseTo(Math.sqrt((n * (n + 1)) / 12), 6);
  }
});

test('as the plain two-pass formulas, place by place', () => {
  const value = fc.double({ min: -1e3, max: 1e3, noNaN: true });
  fc.assert(
    fc.property(fc.array(fc.tuple(value, value), { minLength: 2, maxLength: 40 }), (curves) => {
      const average = averageStrides(1, 2);
      for (const curve of curves) average.add([curve]);
      for (const i of [0, 1] as const) {
        const mean = curves.reduce((sum, c) => sum + c[i], 0) / curves.length;
        const square = curves.reduce((sum, c) => sum + (c[i] - mean) ** 2, 0);
        expect(average.mean()[0][i]).toBeCloseTo(mean, 8);
        expect(average.deviation()[0][i]).toBeCloseTo(Math.sqrt(square / (curves.length - 1)), 6);
      }
    }),
    { seed: 5 },
  );
});

test('one curve has no deviation, none has no mean', () => {
  const average = averageStrides(1, 1);
  expect(average.mean()[0][0]).toBeNaN();
  average.add([[3]]);
  expect(average.mean()[0][0]).toBe(3);
  expect(average.deviation()[0][0]).toBeNaN();
});
