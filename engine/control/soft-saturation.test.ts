import { expect, test } from 'vitest';
import { softSaturation, softSaturationSlope } from './soft-saturation.ts';

// By hand from the formula with ε = 0.05.
test.each([
  [-0.06, 0],
  [-0.02, 0.0045],
  [0, 0.0125],
  [0.03, 0.032],
  [0.5, 0.5],
  [0.97, 0.968],
  [1, 0.9875],
  [1.04, 0.9995],
  [1.2, 1],
])('CTL-PH-8 saturated with ε = 0.05: %d → %d', (x, wanted) => {
  expect(softSaturation(x, 0.05)).toBeCloseTo(wanted, 12);
});

test('the slope is that of the value and nowhere jumps', () => {
  let before = softSaturationSlope(-0.1, 0.05);
  for (let x = -0.1; x < 1.1; x += 1e-3) {
    const slope = softSaturationSlope(x, 0.05);
    expect(Math.abs(slope - before)).toBeLessThan(0.011);
    const numeric = (softSaturation(x + 1e-6, 0.05) - softSaturation(x - 1e-6, 0.05)) / 2e-6;
    expect(Math.abs(slope - numeric)).toBeLessThan(1e-5);
    before = slope;
  }
});
