import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { cubicSpline, type SplineEnds, splineAt } from './cubic-spline.ts';
import { curveMean, curveRms, trapezoid } from './trapezoid.ts';

// SciPy 1.10, CubicSpline; script reference/numeric/spline.py
const scipy = JSON.parse(
  readFileSync(new URL('../../reference/numeric/spline.json', import.meta.url), 'utf8'),
);

for (const ends of ['not-a-knot', 'periodic'] as SplineEnds[]) {
  test(`${ends} spline agrees with SciPy in value, slope and curvature`, () => {
    const s = cubicSpline(scipy.x, scipy[ends].y, ends);
    scipy.at.forEach((t: number, i: number) => {
      const got = splineAt(s, t);
      for (const q of ['value', 'slope', 'curvature'] as const)
        expect(got[q]).toBeCloseTo(scipy[ends][q][i], 11);
    });
  });
}

test('a not-a-knot spline is exact for cubics', () => {
  const c = fc.double({ min: -5, max: 5, noNaN: true });
  fc.assert(
    fc.property(c, c, c, c, fc.double({ min: 0, max: 6, noNaN: true }), (p, q, r, w, t) => {
      const f = (x: number) => p * x ** 3 + q * x ** 2 + r * x + w;
      const x = [0, 0.7, 1.9, 3, 4.6, 6];
      return (
        Math.abs(splineAt(cubicSpline(x, x.map(f), 'not-a-knot'), t).value - f(t)) <
        1e-9 * (1 + Math.abs(f(t)) + 1e3)
      );
    }),
    { seed: 1 },
  );
});

test('bad knots are refused', () => {
  expect(() => cubicSpline([0, 1, 2], [0, 1, 2], 'not-a-knot')).toThrow('at least 4 knots');
  expect(() => cubicSpline([0, 1, 1, 2], [0, 1, 2, 3], 'not-a-knot')).toThrow('rise');
  expect(() => splineAt(cubicSpline([0, 1, 2, 3], [0, 1, 2, 3], 'not-a-knot'), 4)).toThrow('outside');
});

test('mean and RMS of a whole sine are 0 and 1/√2', () => {
  const y = Float64Array.from({ length: 201 }, (_, i) => Math.sin((2 * Math.PI * i) / 200));
  expect(curveMean(y)).toBeCloseTo(0, 12);
  expect(curveRms(y)).toBeCloseTo(Math.SQRT1_2, 12);
  expect(trapezoid(Float64Array.of(1, 3), 2)).toBe(4);
  expect(curveMean(Float64Array.of(1, Number.NaN, 1))).toBeNaN();
});
