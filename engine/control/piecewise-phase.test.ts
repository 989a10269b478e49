import { expect, test } from 'vitest';
import { onWayForward, piecewisePhase } from './piecewise-phase.ts';

const DEG = Math.PI / 180;
const map = { contact: 24 * DEG, back: -16 * DEG, turn: 0.53 };

// 40° of way: each value is a line's own, by hand.
test.each([
  [false, 24, 0],
  [false, 4, 0.265],
  [false, -16, 0.53],
  [false, -20, 0.53],
  [true, -16, 0.53],
  [true, -6, 0.6475],
  [true, 20, 0.953],
  [true, 27, 1],
])('CTL-PH-1 forward %s at %d° → %d', (forward, thigh, wanted) => {
  expect(piecewisePhase(map, forward, thigh * DEG)).toBeCloseTo(wanted, 12);
});

test('the branch turns near the furthest back and with new load, not in mid-stance tremor', () => {
  expect(onWayForward(map, false, 10 * DEG, 0.5, true, true)).toBe(false);
  expect(onWayForward(map, false, -15 * DEG, 0.5, true, true)).toBe(true);
  expect(onWayForward(map, true, -10 * DEG, 1, true, true)).toBe(true);
  expect(onWayForward(map, true, 20 * DEG, -0.2, false, false)).toBe(true);
  expect(onWayForward(map, true, 24 * DEG, -0.2, true, false)).toBe(false);
});
