import { expect, test } from 'vitest';
import { rungeKutta4 } from './runge-kutta.ts';

const oscillator = (y: Float64Array, out: Float64Array): void => {
  out[0] = y[1];
  out[1] = -y[0];
};

/** Distance from (cos 1, −sin 1) after one second in n steps. */
function missed(n: number): number {
  const step = rungeKutta4(oscillator, 2);
  const y = Float64Array.of(1, 0);
  for (let i = 0; i < n; i++) step(y, 1 / n);
  return Math.hypot(y[0] - Math.cos(1), y[1] + Math.sin(1));
}

test('fourth order: half the step, a sixteenth of the error', () => {
  expect(missed(20) / missed(40)).toBeCloseTo(16, 0);
});

test('y′ = λ·y is multiplied by the first five terms of e^{λh}, and no longer dies out beyond |λ|·h = 2.785', () => {
  const factor = (z: number): number => {
    const y = Float64Array.of(1);
    rungeKutta4((at, out) => {
      out[0] = z * at[0];
    }, 1)(y, 1);
    return y[0];
  };
  for (const z of [-0.3, -1, -2])
    expect(factor(z)).toBeCloseTo(1 + z + z ** 2 / 2 + z ** 3 / 6 + z ** 4 / 24, 14);
  expect(Math.abs(factor(-2.78))).toBeLessThan(1);
  expect(Math.abs(factor(-2.79))).toBeGreaterThan(1);
});
