import { expect, test } from 'vitest';
import { followHand, HAND_FREQUENCY, HAND_THIGH } from './hand-thigh.ts';

test('ticks follow the differential equation, integrated by classical Runge and Kutta of small steps', () => {
  const [omega, target, dt] = [HAND_FREQUENCY, 0.4, 1e-3];
  const state = Float64Array.of(-0.1, 2);
  let [x, v] = [-0.1, 2];
  const f = (x: number, v: number) => [v, -omega * omega * (x - target) - 2 * omega * v] as const;
  for (let k = 0; k < 200; k++) {
    followHand(state, target, dt);
    for (let j = 0; j < 20; j++) {
      const h = dt / 20;
      const [a1, b1] = f(x, v);
      const [a2, b2] = f(x + (h / 2) * a1, v + (h / 2) * b1);
      const [a3, b3] = f(x + (h / 2) * a2, v + (h / 2) * b2);
      const [a4, b4] = f(x + h * a3, v + h * b3);
      [x, v] = [x + (h / 6) * (a1 + 2 * a2 + 2 * a3 + a4), v + (h / 6) * (b1 + 2 * b2 + 2 * b3 + b4)];
    }
    expect(state[HAND_THIGH.angle]).toBeCloseTo(x, 9);
    expect(state[HAND_THIGH.rate]).toBeCloseTo(v, 7);
  }
});

test('a hundred ticks are one of a hundredfold length; from rest it never passes its target', () => {
  const [small, large] = [Float64Array.of(0, 0), Float64Array.of(0, 0)];
  for (let k = 0; k < 100; k++) {
    followHand(small, 1, 1e-3);
    expect(small[HAND_THIGH.angle]).toBeLessThan(1);
  }
  followHand(large, 1, 0.1);
  expect(small[0]).toBeCloseTo(large[0]!, 12);
  expect(small[1]).toBeCloseTo(large[1]!, 10);
});
