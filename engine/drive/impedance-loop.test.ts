import { expect, test } from 'vitest';
import { type ImpedanceLoop, impedanceGain, impedanceLoop, passiveStiffness } from './impedance-loop.ts';
import { near } from './test-motor.ts';

const loop: ImpedanceLoop = {
  inertia: 0.1968,
  stiffness: 200,
  damping: 9,
  friction: 0.4,
  dampingOn: 'speed',
  delay: 0,
};

test('DRV-B6 position loop, damping on speed and on error', () => {
  const onSpeed = impedanceLoop(loop);
  near(onSpeed.naturalFrequency, 5.07367);
  near(onSpeed.dampingRatio, 0.749153);
  near(onSpeed.bandwidth, 4.77306);
  near(impedanceLoop({ ...loop, dampingOn: 'error' }).bandwidth, 10.29094);
});

test('DRV-B7 a published hip drive at 10 Hz, within 2 dB of −14', () => {
  const hip: ImpedanceLoop = { ...loop, inertia: 0.062838, stiffness: 60, damping: 2, friction: 0.17 };
  near(impedanceLoop(hip).naturalFrequency, 4.91795);
  near(impedanceLoop(hip).dampingRatio, 0.558782);
  const decibel = (l: ImpedanceLoop): number => 20 * Math.log10(impedanceGain(l, 10));
  near(decibel(hip), -11.758);
  const heavier = decibel({ ...hip, inertia: 0.062838 + 8.1e-3 });
  near(heavier, -12.699);
  // Bjelonic, Tischhauser & Hutter, arXiv 2509.06342 (2025): about −14 dB on the machine
  expect(Math.abs(heavier + 14)).toBeLessThan(2);
});

test('delay: simulated in time, the loop holds below the margin’s delay and runs away above it', () => {
  const { phaseMargin } = impedanceLoop(loop);
  // |loop| = 1 is at the crossing whatever the delay; the delay that uses up the margin
  const crossing =
    (impedanceLoop({ ...loop, delay: 0 }).phaseMargin - impedanceLoop({ ...loop, delay: 1e-3 }).phaseMargin) /
    1e-3;
  const critical = phaseMargin / crossing;
  const grows = (delay: number): number => {
    const dt = critical / 2000;
    const wire = new Float64Array(Math.round(delay / dt));
    let [angle, speed, early, late] = [0.01, 0, 0, 0];
    const steps = 120_000;
    for (let k = 0; k < steps; k++) {
      const torque = wire[k % wire.length];
      wire[k % wire.length] = -200 * angle - 9 * speed;
      speed += ((torque - 0.4 * speed) / 0.1968) * dt;
      angle += speed * dt;
      if (k > steps / 2 && k < 0.6 * steps) early = Math.max(early, Math.abs(angle));
      if (k > 0.9 * steps) late = Math.max(late, Math.abs(angle));
    }
    return late / early;
  };
  expect(grows(0.95 * critical)).toBeLessThan(1);
  expect(grows(1.05 * critical)).toBeGreaterThan(1);
  expect(impedanceLoop({ ...loop, delay: 1.05 * critical }).bandwidth).toBeNaN();
  expect(impedanceLoop({ ...loop, delay: 0.95 * critical }).bandwidth).toBeGreaterThan(0);
});

test('DRV-B9 largest passive stiffness of a sampled spring', () => {
  near(passiveStiffness(0.4, 0.1, 1e-3), 600);
});

/**
 * A heavy joint with damping b on a sampled spring, as it rings at `ring` rad/s with a spring of its own: energy late over energy early.
 * Exact between samples but for a fine step.
 */
function swing(stiffness: number, friction: number, ring: number): number {
  const [T, fine, inertia] = [1e-3, 50, 5];
  const spring = inertia * ring * ring;
  const dt = T / fine;
  let [x, v, early, late] = [1e-3, 0, 0, 0];
  const samples = 20_000;
  for (let k = 0; k < samples; k++) {
    const torque = -stiffness * x;
    for (let i = 0; i < fine; i++) {
      // half kick, drift, half kick: keeps the energy of an undamped spring
      v += (dt / 2) * ((torque - friction * v - spring * x) / inertia);
      x += dt * v;
      v += (dt / 2) * ((torque - friction * v - spring * x) / inertia);
    }
    const energy = inertia * v * v + spring * x * x;
    if (k > 2000 && k < 4000) early = Math.max(early, energy);
    if (k > samples - 2000) late = Math.max(late, energy);
  }
  return late / early;
}

test('a joint that rings slowly on a sampled spring: the swing dies out below the bound and grows above it', () => {
  const bound = passiveStiffness(0.4, 0, 1e-3);
  expect(swing(0.95 * bound, 0.4, 20)).toBeLessThan(1);
  expect(swing(1.05 * bound, 0.4, 20)).toBeGreaterThan(1);
});

/** Energy, J, that a hand puts into joint, sampled spring and damper while it moves them straight from sample to sample. */
function given(angles: readonly number[], K: number, B: number, b: number, T: number): number {
  let [energy, before] = [0, 0];
  for (let k = 0; k + 1 < angles.length; k++) {
    const [x, next] = [angles[k], angles[k + 1]];
    energy += (K * x + (B * (x - before)) / T) * (next - x) + (b * (next - x) ** 2) / T;
    before = x;
  }
  return energy;
}

test.each([0.1, -0.1])(
  'software damping of %f: no motion gets energy out below the bound, a quick one does above it',
  (B) => {
    const [b, T] = [0.4, 1e-3];
    const bound = passiveStiffness(b, B, T);
    let x = 3;
    const next = (): number => {
      x = (x * 48271) % 2147483647;
      return x / 2147483647 - 0.5;
    };
    for (let trial = 0; trial < 300; trial++) {
      const angles = [0, ...Array.from({ length: 40 }, next), 0];
      expect(given(angles, 0.98 * bound, B, b, T)).toBeGreaterThan(0);
    }
    // to and fro each sample for positive damping; slowly out and back for negative
    const quick = [0, ...Array.from({ length: 4000 }, (_, k) => (k % 2 === 0 ? 0.5 : -0.5)), 0];
    const slow = Array.from({ length: 40_001 }, (_, k) => Math.sin((2 * Math.PI * k) / 400));
    const motion = B > 0 ? quick : slow;
    expect(given(motion, 0.98 * bound, B, b, T)).toBeGreaterThan(0);
    expect(given(motion, 1.02 * bound, B, b, T)).toBeLessThan(0);
  },
);
