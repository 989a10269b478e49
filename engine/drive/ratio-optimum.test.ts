import { expect, test } from 'vitest';
import { admissibleRatios, cycleMeans, optimumRatio, rmsAtRatio } from './ratio-optimum.ts';
import { near } from './test-motor.ts';

const W = 2 * Math.PI * 0.9;
const cycle = (f: (t: number) => number) => {
  let sum = 0;
  for (let i = 0; i < 20_000; i++) sum += f(((i + 0.5) / 20_000) * (1 / 0.9));
  return sum / 20_000;
};
const torqueAt = (t: number) => 45 * Math.sin(W * t + (160 * Math.PI) / 180);
const speedAt = (t: number) => 0.55 * W * Math.cos(W * t);
const accelerationAt = (t: number) => -0.55 * W * W * Math.sin(W * t);
const means = {
  torqueSquare: cycle((t) => torqueAt(t) ** 2),
  accelerationSquare: cycle((t) => accelerationAt(t) ** 2),
  product: cycle((t) => torqueAt(t) * accelerationAt(t)),
};

/** The same cycle as a joint trajectory, both ends included. */
const SAMPLES = 20_001;
const sampled = (f: (t: number) => number) =>
  Float64Array.from({ length: SAMPLES }, (_, i) => f(i / (SAMPLES - 1) / 0.9));
const joint = {
  angle: sampled((t) => 0.55 * Math.sin(W * t)),
  velocity: sampled(speedAt),
  acceleration: sampled(accelerationAt),
  moment: sampled(torqueAt),
};

test('DRV-R1 optimum ratio, and no other ratio does better', () => {
  near(means.torqueSquare, 1012.5);
  near(means.accelerationSquare, 154.6625);
  near(means.product, 371.857);
  near(cycleMeans(joint, { drivingEfficiency: 1, backDrivenEfficiency: 1 }).torqueSquare, 1012.5, 1e-9);
  const best = optimumRatio(means, 3e-4);
  near(best, 92.3511);
  near(rmsAtRatio(means, 3e-4, best), 0.678636);
  near(rmsAtRatio(means, 3e-4, 18), 1.831017);
  const brute = Array.from({ length: 4000 }, (_, i) => rmsAtRatio(means, 3e-4, 50 + i / 40));
  expect(Math.min(...brute)).toBeGreaterThanOrEqual(rmsAtRatio(means, 3e-4, best));
  // straight from the definition
  near(Math.sqrt(cycle((t) => (18 * 3e-4 * accelerationAt(t) + torqueAt(t) / 18) ** 2)), 1.831017);
});

test('DRV-R2 admissible ratios meet the limit at both ends', () => {
  const range = admissibleRatios(means, 3e-4, 2.2)!;
  near(range.least, 14.8138);
  near(range.largest, 575.728);
  near(rmsAtRatio(means, 3e-4, range.least), 2.2, 1e-9);
  near(rmsAtRatio(means, 3e-4, range.largest), 2.2, 1e-9);
  expect(admissibleRatios(means, 3e-4, 0.6)).toBeNull();
});

test('DRV-R3 mesh loss by direction moves the optimum', () => {
  const g = (t: number) => (torqueAt(t) * speedAt(t) > 0 ? 1 / 0.92 : 0.91);
  expect(Math.abs(cycle((t) => (torqueAt(t) * speedAt(t) > 0 ? 1 : 0)) - 0.6111)).toBeLessThan(0.001);
  const lossy = {
    torqueSquare: cycle((t) => (g(t) * torqueAt(t)) ** 2),
    accelerationSquare: means.accelerationSquare,
    product: cycle((t) => g(t) * torqueAt(t) * accelerationAt(t)),
  };
  expect(Math.abs(lossy.torqueSquare - 1093.67)).toBeLessThan(0.3);
  expect(Math.abs(optimumRatio(lossy, 3e-4) - 94.149)).toBeLessThan(0.01);
  near(rmsAtRatio(lossy, 3e-4, 15), 2.25634);
  const ours = cycleMeans(joint, { drivingEfficiency: 0.92, backDrivenEfficiency: 0.91 });
  near(ours.torqueSquare, lossy.torqueSquare);
  near(ours.product, lossy.product);
  near(optimumRatio(ours, 3e-4), 94.149);
});
