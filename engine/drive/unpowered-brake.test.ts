import { expect, test } from 'vitest';
import { dynamicBackDriveTorque } from './back-drive.ts';
import type { JointDrive } from './leg-drive.ts';
import { lossless, lossy } from './test-drive.ts';
import { near } from './test-motor.ts';
import { unpoweredBrake, yieldSpeed } from './unpowered-brake.ts';

test('DRV-M6 motor at 22:1 with 0.72 Ω added: 60 N·m yields at 7 rad/s', () => {
  const speed = yieldSpeed(lossless, 0.72, 60);
  expect(Math.round(speed)).toBe(7);
  // second route: 60 = k·q/(1 + (q/q_p)²) is a quadratic in q, of which the smaller root is on the rising branch
  const k = (22 ** 2 * 1.5 * 14 ** 2 * 0.007 ** 2) / 0.8;
  const peak = 0.8 / 90e-6 / 14 / 22;
  const a = 60 / peak ** 2;
  near(speed, (k - Math.sqrt(k * k - 4 * a * 60)) / (2 * a), 1e-9);
});

test('beyond the peak there is no steady speed, just below it there is', () => {
  const peak = (22 * 0.75 * 14 * 0.007 ** 2) / 90e-6;
  expect(yieldSpeed(lossless, 0, peak * 1.0001)).toBe(Number.POSITIVE_INFINITY);
  expect(yieldSpeed(lossless, 0, peak * 0.9999)).toBeLessThan(0.08 / 90e-6 / 14 / 22);
});

test('a joint damper beside the short carries a load beyond the short’s own peak, where friction alone would not', () => {
  const damped: JointDrive = {
    ...lossless,
    transmission: { ...lossless.transmission, outputViscous: 40 },
  };
  const speed = yieldSpeed(damped, 0, 300);
  near(unpoweredBrake(damped, 0, speed), 300, 1e-12);
  // the branch rises all the way there
  let last = 0;
  for (let q = 0; q < speed; q += speed / 500) {
    const here = unpoweredBrake(damped, 0, q);
    expect(here).toBeGreaterThanOrEqual(last);
    last = here;
  }
});

test('open phases are the back-drive torque, and a load beyond them meets drag alone', () => {
  for (const q of [0.1, 3, 8])
    near(
      unpoweredBrake(lossy, 'open', q),
      dynamicBackDriveTorque(lossy.motor, lossy.transmission, q, 0),
      1e-12,
    );
  // (60 − N·τ_c/η_b − τ_c,out)·η_b/(N²·b)
  near(yieldSpeed(lossy, 'open', 60), ((60 - (22 * 0.022) / 0.93 - 0.1) * 0.93) / (22 ** 2 * 1.5e-4), 1e-9);
  expect(yieldSpeed(lossless, 'open', 1)).toBe(Number.POSITIVE_INFINITY);
});

test('breakaway holds what it can, and no moment has no speed', () => {
  const breakaway = (22 * 0.03) / 0.93 + 0.12;
  expect(yieldSpeed(lossy, 0.72, breakaway * 0.999)).toBe(0);
  expect(yieldSpeed(lossy, 0.72, breakaway * 1.001)).toBeGreaterThan(0);
  expect(yieldSpeed(lossy, 0.72, -breakaway * 0.5)).toBe(0);
  expect(yieldSpeed(lossy, 0.72, Number.NaN)).toBeNaN();
});

test('power: what the load puts in is what drag, short, mesh and seals take', () => {
  const q = 4;
  const shaft = 0.022 + 1.5e-4 * 22 * q;
  const R = 0.08 + 0.3;
  const w = 14 * 22 * q;
  const current = (0.007 * w) / Math.hypot(R, w * 90e-6);
  const heat = 1.5 * R * current ** 2;
  const intoShaft = heat + shaft * 22 * q;
  near(unpoweredBrake(lossy, 0.3, q) * q, intoShaft / 0.93 + 0.1 * q, 1e-12);
});
