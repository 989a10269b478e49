import { describe, expect, test } from 'vitest';
import { KNEE_12, pointOf } from './test-trajectory.ts';
import { alongPhase, periodicTrajectory } from './trajectory.ts';

const rmse = (t: Float64Array) =>
  Math.sqrt(KNEE_12.slice(0, 12).reduce((sum, y, k) => sum + (pointOf(t, k / 12).value - y) ** 2, 0) / 12);

// Least squares of the stated basis, solved independently with numpy.linalg.lstsq and, smoothed, by its normal equations.
describe('a knee in twelve samples', () => {
  test('CTL-TR-1 three harmonics', () => {
    const t = periodicTrajectory(KNEE_12, 3);
    [0, 23.9166667, -3.62638837, -19.420617, -13.1666667, 7.79422863, 0.5, 3].forEach((c, k) => {
      expect(t[k]).toBeCloseTo(c, 6);
    });
    expect(rmse(t)).toBeCloseTo(0.27136293, 8);
    for (const [s, value, slope] of [
      [0, 7.62361163, 32.470498],
      [0.3, 11.2790551, -65.8266705],
      [0.71, 61.4511111, 33.9960173],
    ] as const) {
      expect(pointOf(t, s).value).toBeCloseTo(value, 6);
      expect(pointOf(t, s).slope).toBeCloseTo(slope, 6);
    }
  });

  test('CTL-TR-2 five harmonics, smoothed', () => {
    const t = periodicTrajectory(KNEE_12, 5, 1e-4);
    [
      0, 23.916667, -3.6260258, -19.418675, -13.145634, 7.7817778, 0.49598254, 2.9758952, 0.325013,
      -8.5481687e-16, 0.11895376, -0.074713403,
    ].forEach((c, k) => {
      expect(t[k]).toBeCloseTo(c, 6);
    });
    expect(rmse(t)).toBeCloseTo(0.08727453, 8);
  });
});

test('value, slope and curvature close at initial contact, and the slope is the value’s', () => {
  const t = periodicTrajectory(KNEE_12, 5);
  const [start, end] = [pointOf(t, 0), pointOf(t, 1)];
  for (const key of ['value', 'slope', 'curvature'] as const) expect(end[key]).toBeCloseTo(start[key], 9);
  for (let s = 0.05; s < 1; s += 0.07) {
    const [a, b] = [pointOf(t, s - 1e-5), pointOf(t, s + 1e-5)];
    expect(pointOf(t, s).slope).toBeCloseTo((b.value - a.value) / 2e-5, 4);
    expect(pointOf(t, s).curvature / ((b.slope - a.slope) / 2e-5)).toBeCloseTo(1, 4);
  }
});

// q = 0.1 + 0.9·sin²(πs), so q′ = 0.9π·sin 2πs, q″ = 1.8π²·cos 2πs.
test('CTL-PH-8 a joint along its phase', () => {
  const [s, rate, acceleration] = [0.3, 2.2, -4];
  const got = alongPhase(
    0.9 * Math.PI * Math.sin(2 * Math.PI * s),
    1.8 * Math.PI ** 2 * Math.cos(2 * Math.PI * s),
    rate,
    acceleration,
  );
  // the same motion as a function of time, differentiated by central differences
  const q = (t: number) => 0.1 + 0.9 * Math.sin(Math.PI * (s + rate * t + (acceleration * t * t) / 2)) ** 2;
  expect(got.velocity).toBeCloseTo((q(1e-5) - q(-1e-5)) / 2e-5, 6);
  expect(Math.abs(got.acceleration - (q(1e-4) - 2 * q(0) + q(-1e-4)) / 1e-8)).toBeLessThan(1e-3);
  expect(got.velocity).toBeCloseTo(5.91590769, 7);
  expect(got.acceleration).toBeCloseTo(-37.326711, 6);
});
