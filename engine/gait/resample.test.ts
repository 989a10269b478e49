import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { resampleStride } from './resample.ts';

test('any cubic is met exactly from uneven rows', () => {
  const c = fc.double({ min: -3, max: 3, noNaN: true });
  const steps = fc.array(fc.double({ min: 0.5, max: 5, noNaN: true }), { minLength: 5, maxLength: 60 });
  fc.assert(
    fc.property(c, c, c, c, steps, (a, b, d, e, gaps) => {
      const total = gaps.reduce((sum, gap) => sum + gap, 0);
      let at = 0;
      const percent = [0, ...gaps.map((gap) => (at += (100 * gap) / total))];
      percent[percent.length - 1] = 100;
      const f = (p: number) => a * (p / 100) ** 3 + b * (p / 100) ** 2 + (d * p) / 100 + e;
      resampleStride(percent, percent.map(f)).forEach((y, i) => {
        expect(y).toBeCloseTo(f(i / 2), 9);
      });
    }),
    { seed: 6 },
  );
});

test("as SciPy's not-a-knot spline at the places they share", () => {
  // SciPy 1.10, CubicSpline; script reference/numeric/spline.py
  const scipy = JSON.parse(
    readFileSync(new URL('../../reference/numeric/spline.json', import.meta.url), 'utf8'),
  ) as { x: number[]; at: number[]; 'not-a-knot': { y: number[]; value: number[] } };
  const got = resampleStride(scipy.x, scipy['not-a-knot'].y);
  let compared = 0;
  scipy.at.forEach((p, i) => {
    if ((2 * p) % 1 !== 0) return;
    expect(got[2 * p]).toBeCloseTo(scipy['not-a-knot'].value[i], 11);
    compared++;
  });
  expect(compared).toBeGreaterThan(3);
});
