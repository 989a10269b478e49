import { expect, test } from 'vitest';
import { stanceRow, stanceTorque } from './stance-table.ts';

const K = Float64Array.of(300, 100, 500);
const c = Float64Array.of(-20, 10, 45);
const B = Float64Array.of(2, 4, 3);
const row = stanceRow({ stiffness: K, offset: c, damping: B });

test.each([0, 1, 2])('at place %i of the table the torque is that of its own numbers', (i) => {
  const [angle, rate] = [0.21, -1.7];
  const asked = i === 2 ? stanceTorque(row, 1, 1, angle, rate) : stanceTorque(row, i, 0, angle, rate);
  expect(asked).toBeCloseTo(-K[i]! * angle + c[i]! - B[i]! * rate, 12);
});

test('between two places it goes along a straight line over the share, at any angle and rate', () => {
  for (const [angle, rate] of [
    [0.3, 2],
    [-0.1, 0],
    [0, -5],
  ] as const) {
    const [from, to] = [stanceTorque(row, 1, 0, angle, rate), stanceTorque(row, 1, 1, angle, rate)];
    for (const w of [0.1, 0.5, 0.93])
      expect(stanceTorque(row, 1, w, angle, rate)).toBeCloseTo(from + w * (to - from), 12);
  }
});
