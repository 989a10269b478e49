import { expect, test } from 'vitest';
import { splineBasis, splineTrajectory, splineTrajectoryAt } from './spline-trajectory.ts';
import { KNEE_12 } from './test-trajectory.ts';

const S = Array.from({ length: 12 }, (_, k) => k / 12);
const Y = KNEE_12.slice(0, 12);
const points = splineTrajectory(S, Y, 8);

// Least squares on the same basis, computed independently with numpy.linalg.lstsq.
test('CTL-TR-3 eight control points for a knee in twelve samples', () => {
  const wanted = [
    2.24938332, 21.3036419, 15.6017602, 5.12625997, 7.61303467, 48.2680972, 74.2358218, 16.9020009,
  ];
  wanted.forEach((c, k) => {
    expect(points[k]).toBeCloseTo(c, 6);
  });
  const square = Y.reduce((sum, y, k) => sum + (splineTrajectoryAt(points, S[k]!) - y) ** 2, 0);
  expect(Math.sqrt(square / 12)).toBeCloseTo(0.2422748, 7);
  for (const [s, value] of [
    [0, 7.86719602],
    [0.3, 11.3779741],
    [0.71, 61.4804922],
    [1, 7.86719602],
  ] as const)
    expect(splineTrajectoryAt(points, s)).toBeCloseTo(value, 6);
  const row = [0, 0.036, 0.53866667, 0.41466667, 0.010666667, 0, 0, 0];
  row.forEach((w, k) => {
    expect(splineBasis(8, 0.3)[k]).toBeCloseTo(w, 8);
  });
});

test('one control point is felt over four spans, value and slopes close at initial contact', () => {
  const moved = Float64Array.from(points);
  moved[5]! += 10;
  for (let s = 0; s < 1; s += 0.01) {
    const near = Math.abs(s * 8 - 5) < 2;
    const change = Math.abs(splineTrajectoryAt(moved, s) - splineTrajectoryAt(points, s));
    if (near) expect(change).toBeGreaterThan(0);
    else expect(change).toBeLessThan(1e-12);
  }
  const h = 1e-4;
  const bend = (s: number) =>
    (splineTrajectoryAt(points, s + h) -
      2 * splineTrajectoryAt(points, s) +
      splineTrajectoryAt(points, s - h)) /
    h ** 2;
  expect(Math.abs(bend(1 + 2 * h) - bend(1 - 2 * h)) / Math.abs(bend(1))).toBeLessThan(0.01);
});
