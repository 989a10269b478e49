import { expect, test } from 'vitest';
import { blendOffset, blendOffsetSlope } from './swing-blend.ts';

// By hand from the polynomial with e_0 = 0.1, d_0 = −0.15, c_0 = 0.02.
test.each([
  [0, 0.1],
  [0.25, 0.0622265625],
  [0.5, 0.026875],
  [0.75, 0.0047265625],
  [1, 0],
])('CTL-TR-6 at %d of the blend: %d', (u, wanted) => {
  expect(blendOffset(0.1, -0.15, 0.02, u)).toBeCloseTo(wanted, 12);
});

test('it begins with its offset, slope and curvature and ends with none', () => {
  const h = 1e-4;
  const curvature = (u: number) =>
    (blendOffsetSlope(0.1, -0.15, 0.02, u + h) - blendOffsetSlope(0.1, -0.15, 0.02, u - h)) / (2 * h);
  expect(blendOffsetSlope(0.1, -0.15, 0.02, 0)).toBe(-0.15);
  expect(Math.abs(curvature(0) - 0.02)).toBeLessThan(1e-4);
  expect(Math.abs(blendOffset(0.1, -0.15, 0.02, 1 - 1e-9))).toBeLessThan(1e-12);
  expect(Math.abs(blendOffsetSlope(0.1, -0.15, 0.02, 1 - 1e-6))).toBeLessThan(1e-5);
  expect(Math.abs(curvature(1 - 2 * h))).toBeLessThan(5e-3);
  for (let u = 0.05; u < 0.95; u += 0.1) {
    const slope = (blendOffset(0.1, -0.15, 0.02, u + h) - blendOffset(0.1, -0.15, 0.02, u - h)) / (2 * h);
    expect(blendOffsetSlope(0.1, -0.15, 0.02, u)).toBeCloseTo(slope, 6);
  }
});
