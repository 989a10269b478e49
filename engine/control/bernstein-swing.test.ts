import { expect, test } from 'vitest';
import { bernsteinSwing, bernsteinSwingAt } from './bernstein-swing.ts';

const S = Array.from({ length: 9 }, (_, k) => k / 8);
const Y = [38, 52, 61, 60, 50, 34, 18, 7, 4];
const made = bernsteinSwing(S, Y, 5, { from: 38, fromSlope: 90, to: 4, toSlope: 0 });

// Least squares on the same basis with the ends held, computed independently with numpy.linalg.lstsq.
test('CTL-TR-4 a swing of degree five with its ends held', () => {
  [38, 56, 106.02352, 19.6759265, 4, 4].forEach((c, k) => {
    expect(made[k]).toBeCloseTo(c, 5);
  });
  const square = Y.reduce((sum, y, k) => sum + (bernsteinSwingAt(made, S[k]!) - y) ** 2, 0);
  expect(Math.sqrt(square / 9)).toBeCloseTo(0.2549331, 7);
  expect(bernsteinSwingAt(made, 0.25)).toBeCloseTo(60.9132653, 6);
  expect(bernsteinSwingAt(made, 0.5)).toBeCloseTo(49.9685769, 6);
});

test('its ends and their slopes are what was asked, and it stays between its coefficients', () => {
  const h = 1e-6;
  expect(bernsteinSwingAt(made, 0)).toBe(38);
  expect((bernsteinSwingAt(made, h) - 38) / h).toBeCloseTo(90, 2);
  expect((4 - bernsteinSwingAt(made, 1 - h)) / h).toBeCloseTo(0, 2);
  for (let s = 0; s <= 1; s += 0.01) {
    expect(bernsteinSwingAt(made, s)).toBeLessThanOrEqual(Math.max(...made));
    expect(bernsteinSwingAt(made, s)).toBeGreaterThanOrEqual(Math.min(...made));
  }
});
