import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { coulombPeak, type Pendulum, periodStretch, smallSwing, swingPeaks } from './free-swing.ts';
import { swingCourse } from './swing-course.ts';

const peaksOf = (angle: Float64Array): number[] => {
  const found = [angle[0]];
  for (let i = 1; i < angle.length - 1; i++)
    if ((angle[i] - angle[i - 1]) * (angle[i + 1] - angle[i]) < 0) found.push(Math.abs(angle[i]));
  return found;
};

// a small swing has closed forms, peaks and half period
test('a small swing turns at the peaks of the closed form and stays at the last', () => {
  const p: Pendulum = { inertia: 0.35, viscous: 0.2, coulomb: 0.0045, gravity: 12, breakaway: 0.02 };
  const { angle, rests } = swingCourse(p, rad(0.006), 0.001, 30);
  const closed = swingPeaks(p, rad(0.006));
  const peaks = [...peaksOf(angle), Math.abs(angle.at(-1) as number)];
  expect(rests).toBe(true);
  expect(peaks).toHaveLength(closed.length);
  for (const [k, peak] of peaks.entries()) expect(Math.abs(peak - closed[k])).toBeLessThan(2e-7);
  const half = smallSwing(p).halfPeriod;
  expect(Math.abs(angle.length * 0.001 - (closed.length - 1) * half)).toBeLessThan(0.003);
});

// energy: m·g·l·(cos A_1 − cos A_0) = τ_c·(A_0 + A_1)
test('a large swing with constant friction loses to it what its energy says', () => {
  const p: Pendulum = { inertia: 0.3, viscous: 0, coulomb: 1.2, gravity: 14 };
  const peaks = peaksOf(swingCourse(p, rad(1.2), 0.0005, 10).angle);
  let last = 1.2;
  for (const peak of peaks.slice(1)) {
    last = coulombPeak(14, 1.2, rad(last));
    expect(Math.abs(peak - last)).toBeLessThan(1e-6);
  }
  expect(peaks.length).toBeGreaterThan(2);
});

test('without friction a swing of 90° takes the elliptic integral’s time, and does not rest', () => {
  const p: Pendulum = { inertia: 0.3, viscous: 0, coulomb: 0, gravity: 14 };
  const period = 2 * smallSwing(p).halfPeriod * periodStretch(rad(Math.PI / 2));
  const step = period / 2000;
  const { angle, rests } = swingCourse(p, rad(Math.PI / 2), step, 3 * period + step / 2);
  expect(rests).toBe(false);
  expect(Math.abs((angle[6000] as number) - Math.PI / 2)).toBeLessThan(1e-6);
  expect(Math.abs((angle[1000] as number) + Math.PI / 2)).toBeLessThan(1e-6);
});

test('within breakaway it does not move; from the other side it swings mirrored', () => {
  const p: Pendulum = { inertia: 0.3, viscous: 0.1, coulomb: 1, gravity: 14, breakaway: 2 };
  expect(swingCourse(p, rad(0.1), 0.01, 5)).toEqual({ step: 0.01, angle: Float64Array.of(0.1), rests: true });
  const [a, b] = [swingCourse(p, rad(0.8), 0.01, 5), swingCourse(p, rad(-0.8), 0.01, 5)];
  expect([...b.angle].map((x) => -x)).toEqual([...a.angle]);
});
