import { expect, test } from 'vitest';
import { largestRipple } from './stride-ripple.ts';
import { motor, near } from './test-motor.ts';

test('DRV-P2 through the motor: a speed, current and bus that make M = 0.8 and cos φ = 0.9 at 25 A rms', () => {
  // from φ: ω_e·L·i = û·sin φ, and û = 0.8·V/2 follows; R and λ share the part in phase
  const i = 25 * Math.SQRT2;
  const speed = 100;
  const across = 14 * speed * motor.inductanceQ * i;
  const phase = across / Math.sqrt(1 - 0.9 ** 2);
  const flux = (0.9 * phase - motor.resistance * i) / (14 * speed);
  const made = { ...motor, fluxLinkage: flux };
  const one = Float64Array.of;
  near(
    largestRipple(
      made,
      one.call(Float64Array, i),
      one.call(Float64Array, speed),
      one.call(Float64Array, phase / 0.4),
    ),
    14.8293,
  );
});

test('the largest of the samples; none without current', () => {
  const bus = Float64Array.of(40, 40, 40);
  const speed = Float64Array.of(50, 50, 50);
  const all = largestRipple(motor, Float64Array.of(5, -20, 10), speed, bus);
  expect(all).toBe(largestRipple(motor, Float64Array.of(0, -20, 0), speed, bus));
  expect(largestRipple(motor, new Float64Array(3), speed, bus)).toBe(0);
});
