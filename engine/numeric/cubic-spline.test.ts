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

test('a value that is no number and a period that does not close are refused', () => {
  expect(() => cubicSpline([0, 1, 2, 3], [0, 1, Number.NaN, 3], 'not-a-knot')).toThrow(
    'a spline needs a number at every knot',
  );
  expect(() => cubicSpline([0, 1, 2, 3], [0, 1, 2, 3], 'periodic')).toThrow(
    'a periodic curve ends where it began, not at 3 from 0',
  );
});

test('on any knots: through every value, two derivatives continuous, the period closed', () => {
  const gaps = fc.array(fc.double({ min: 0.2, max: 5, noNaN: true }), { minLength: 3, maxLength: 40 });
  const value = fc.double({ min: -10, max: 10, noNaN: true });
  fc.assert(
    fc.property(gaps, fc.infiniteStream(value), fc.boolean(), (steps, stream, periodic) => {
      const x = [0];
      for (const step of steps) x.push(x[x.length - 1] + step);
      const y = x.map(() => stream.next().value as number);
      if (periodic) y[y.length - 1] = y[0];
      const s = cubicSpline(x, y, periodic ? 'periodic' : 'not-a-knot');
      const scale = Math.max(1, ...s.m.map(Math.abs));
      const near = (a: number, b: number) => Math.abs(a - b) < 1e-5 * scale;
      const ends = [splineAt(s, 0), splineAt(s, x[x.length - 1])];
      return (
        x.every((t, i) => near(splineAt(s, t).value, y[i])) &&
        x.slice(1, -1).every((t) => {
          const [a, b] = [splineAt(s, t - 1e-7), splineAt(s, t + 1e-7)];
          return near(a.slope, b.slope) && near(a.curvature, b.curvature);
        }) &&
        (!periodic || (near(ends[0].slope, ends[1].slope) && near(ends[0].curvature, ends[1].curvature)))
      );
    }),
    { seed: 9, numRuns: 200 },
  );
});

test('mean and RMS of a whole sine are 0 and 1/√2', () => {
  const y = Float64Array.from({ length: 201 }, (_, i) => Math.sin((2 * Math.PI * i) / 200));
  expect(curveMean(y)).toBeCloseTo(0, 12);
  expect(curveRms(y)).toBeCloseTo(Math.SQRT1_2, 12);
  expect(trapezoid(Float64Array.of(1, 3), 2)).toBe(4);
  expect(curveMean(Float64Array.of(1, Number.NaN, 1))).toBeNaN();
});
