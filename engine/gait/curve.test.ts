import { referenceStrides } from '@striderule/reference';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { curveAt, sampleCurve } from './curve.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import type { StrideCurve } from './stride.ts';

const strides = referenceStrides();
const everyCurve: StrideCurve[] = Object.values(strides).flatMap((s) =>
  [...Object.values(s.joints).flatMap((j) => [j.angle, j.moment, j.power]), s.thigh].filter(
    (c) => c !== undefined,
  ),
);

test('slope and curvature are the derivatives of the value, on every curve that ships', () => {
  const step = 1e-3;
  fc.assert(
    fc.property(fc.constantFrom(...everyCurve), fc.double({ min: 1, max: 99, noNaN: true }), (curve, p) => {
      const [a, b, c] = [p - step, p, p + step].map((x) => curveAt(curve, x));
      const scale = 1 + Math.abs(b.curvature);
      // a spline's curvature bends at its knots, so its difference is only as good as the step is small
      return (
        Math.abs((c.value - a.value) / (2 * step) - b.slope) < 1e-3 * scale &&
        Math.abs((c.slope - a.slope) / (2 * step) - b.curvature) < 1e-2 * scale
      );
    }),
    { seed: 6, numRuns: 300 },
  );
});

test('a table passes through its rows; a series by hand', () => {
  const level = strides['ankle-level'].joints.ankle!.moment!;
  if (level.form !== 'table') throw new Error('a table ships');
  level.percent.forEach((p, i) => {
    expect(curveAt(level, p).value).toBeCloseTo(level.value[i], 12);
  });
  // 2 + 0.5·p/100 + 3·cos(2πp/100) at p = 25: 2.125; slope 0.005 − 3·2π/100
  const series: StrideCurve = { form: 'series', mean: 2, drift: 0.5, cos: [3], sin: [0] };
  const at = curveAt(series, 25);
  expect(at.value).toBeCloseTo(2.125, 12);
  expect(at.slope).toBeCloseTo(0.005 - (3 * 2 * Math.PI) / 100, 12);
  expect(at.curvature).toBeCloseTo(0, 12);
});

test('samples are the curve at each half per cent, and remembered', () => {
  for (const curve of everyCurve) {
    const sampled = sampleCurve(curve);
    for (const i of [0, 37, 100, STRIDE_SAMPLES - 1]) {
      expect(sampled.value[i]).toBe(curveAt(curve, i / 2).value);
      expect(sampled.curvature[i]).toBe(curveAt(curve, i / 2).curvature);
    }
    expect(sampleCurve(curve)).toBe(sampled);
  }
});
