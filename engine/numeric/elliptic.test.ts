import { expect, test } from 'vitest';
import { ellipticK } from './elliptic.ts';

// Abramowitz & Stegun, table 17.1: K(0) = 1.570796…, K(1/2) = 1.854074677…; the latter is also Γ(1/4)²/(4√π) with Γ(1/4) = 3.625609908221908.
test('printed values, and the closed form at one half', () => {
  expect(ellipticK(0)).toBeCloseTo(Math.PI / 2, 15);
  expect(ellipticK(0.5)).toBeCloseTo(1.854074677, 9);
  expect(ellipticK(0.5)).toBeCloseTo(3.625609908221908 ** 2 / (4 * Math.sqrt(Math.PI)), 13);
});

test('its definition by plain summation, ∫ dφ/√(1 − m·sin²φ) over a quarter turn', () => {
  for (const m of [0.1, 0.7, 0.95]) {
    const n = 2000;
    let sum = 0;
    for (let i = 0; i < n; i++) sum += 1 / Math.sqrt(1 - m * Math.sin(((i + 0.5) / n) * (Math.PI / 2)) ** 2);
    expect(ellipticK(m)).toBeCloseTo((sum / n) * (Math.PI / 2), 12);
  }
});

test('infinite at 1, not a number above', () => {
  expect(ellipticK(1)).toBe(Number.POSITIVE_INFINITY);
  expect(ellipticK(1.5)).toBeNaN();
  expect(ellipticK(Number.NaN)).toBeNaN();
});
