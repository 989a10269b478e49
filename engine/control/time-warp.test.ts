import { expect, test } from 'vitest';
import { oscillatorCourse, planeCourse, type ThighSignal } from './phase-course.ts';
import { integralPhase } from './phase-plane.ts';
import { playPhase, thighShare } from './thigh-play.ts';
import { type ThighOverStride, timeWarpError } from './time-warp.ts';

const thigh: ThighOverStride = (x) => {
  const p = 2 * Math.PI * x;
  return {
    value: 0.07 + 0.36 * Math.cos(p) + 0.04 * Math.cos(2 * p + 0.8),
    slope: 2 * Math.PI * (-0.36 * Math.sin(p) - 0.08 * Math.sin(2 * p + 0.8)),
  };
};
const WALK = { stance: 0.6, strideTime: 1.1, dt: 1e-3, from: 1, strides: 4 };
const [ON, PEAK] = [-0.25, 0.43];
const OMEGA = (2 * Math.PI) / 1.1;

const played = ({ thigh: path }: ThighSignal) => {
  let s = 0;
  return path.map((angle) => {
    s = playPhase(s, thighShare(angle, ON, PEAK), 0.12);
    return s;
  });
};

const leaky = ({ thigh: path, dt }: ThighSignal) => {
  let [integral, before, turns] = [0, 0, 0];
  return path.map((angle) => {
    const phase = integralPhase(angle, integral, 0.07, OMEGA);
    integral += dt * (angle - 0.07 - integral);
    turns -= Math.round((phase - before) / (2 * Math.PI));
    before = phase;
    return phase + 2 * Math.PI * turns;
  });
};

// The four errors were computed independently with NumPy (np.interp over the path).
test('CTL-PH-7 only the static map does not care how fast the path is walked', () => {
  const play = timeWarpError(played, thigh, WALK);
  // bound by sampling: the thigh's largest step in the uneven walk over its way; path rate at most (1 + 0.12·2π/2.2)/1.1 strides/s
  const steepest = Math.max(...Array.from({ length: 1000 }, (_, k) => Math.abs(thigh(k / 1000).slope)));
  expect(play).toBeLessThan((steepest * ((1 + (0.12 * Math.PI) / 1.1) / 1.1) * 1e-3) / (PEAK - ON));
  expect(Math.abs(play - 0.0005287)).toBeLessThan(1e-4);
  expect(Math.abs(timeWarpError((s) => planeCourse(0.07, OMEGA, s), thigh, WALK) - 0.1801)).toBeLessThan(
    2e-3,
  );
  expect(Math.abs(timeWarpError(leaky, thigh, WALK) - 0.4863)).toBeLessThan(5e-3);
  const gains = { phase: 8, frequency: 16, amplitude: 2 };
  const start = Float64Array.of(0, OMEGA, 0, 0.3, 0);
  expect(Math.abs(timeWarpError((s) => oscillatorCourse(start, gains, s), thigh, WALK) - 1.502)).toBeLessThan(
    0.02,
  );
});

// θ − c held at 0.2 with the leak of 1 s: İ = x − I ends at x, so the phase goes to atan(ω·0.2/0.2) = atan ω.
test('CTL-PH-7 the leaky integral drifts while the thigh is held', () => {
  let integral = 0.02;
  const from = integralPhase(0.27, integral, 0.07, OMEGA);
  expect(from).toBeCloseTo(Math.atan((OMEGA * 0.02) / 0.2), 12);
  for (let k = 0; k < 3000; k++) integral += 1e-3 * (0.2 - integral);
  const to = integralPhase(0.27, integral, 0.07, OMEGA);
  expect(to).toBeCloseTo(Math.atan((OMEGA * (0.2 + (0.02 - 0.2) * Math.exp(-3))) / 0.2), 3);
  expect(to - from).toBeGreaterThan(0.8);
});

test('a phase that is a clock fails by the whole warp', () => {
  const clock = ({ thigh: path, dt }: ThighSignal) => path.map((_, k) => (k * dt) / 1.1);
  expect(timeWarpError(clock, thigh, WALK)).toBeCloseTo(0.12 / 1.1, 3);
});
