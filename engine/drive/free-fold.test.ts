import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { freeFoldSpeed } from './free-fold.ts';
import { near } from './test-motor.ts';

test('the knee of a leg whose hip is dropped: fall in time, angle from the law of cosines, speed by difference', () => {
  const [thigh, shank] = [0.42, 0.43];
  const flexion = (t: number): number => {
    const d = thigh + shank - (9.80665 * t * t) / 2;
    return Math.acos((d * d - thigh * thigh - shank * shank) / (2 * thigh * shank));
  };
  for (const t of [0.03, 0.08, 0.15])
    near(freeFoldSpeed(thigh, shank, rad(flexion(t))), (flexion(t + 1e-6) - flexion(t - 1e-6)) / 2e-6, 1e-6);
});

test('equal halves: √(2g/l)·(…) begins at √(2g/l) and grows little to 60°', () => {
  const l = 0.43;
  near(freeFoldSpeed(l, l, rad(1e-3)), Math.sqrt((2 * 9.80665) / l), 1e-5);
  const sixty = freeFoldSpeed(l, l, rad(Math.PI / 3));
  // d = √3·l there: θ̇ = √3·√(2g(2 − √3)·l)/(l·√3/2) = 2·√(2g(2 − √3)/l)
  near(sixty, 2 * Math.sqrt((2 * 9.80665 * (2 - Math.sqrt(3))) / l), 1e-9);
  expect(sixty.toFixed(1)).toBe('7.0');
});
