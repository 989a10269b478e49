import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fixed, significant } from './number-text.ts';

test.each([
  [1.3, 1, '1.3'],
  [-12.345, 1, '−12.3'],
  [-0.01, 1, '0.0'],
  [0, 2, '0.00'],
  [Number.NaN, 1, '—'],
  [null, 1, '—'],
  [undefined, 1, '—'],
  [Number.POSITIVE_INFINITY, 1, '∞'],
  [Number.NEGATIVE_INFINITY, 1, '−∞'],
] as const)('fixed(%s, %s) reads %s', (value, decimals, text) => {
  expect(fixed(value, decimals)).toBe(text);
});

test.each([
  [0.11405, '0.114'],
  [173.2, '173'],
  [1234.5, '1235'],
  [9.996, '10.0'],
  [0.0002148, '0.000215'],
  [0.00002, '2.00e-5'],
  [-0.5, '−0.500'],
  [4.2e7, '4.20e7'],
  [0, '0'],
  [Number.NaN, '—'],
  [null, '—'],
] as const)('significant(%s) reads %s', (value, text) => {
  expect(significant(value)).toBe(text);
});

test('three figures are the number within half a unit of the third', () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-4, max: 999, noNaN: true }), (x) => {
      const read = Number(significant(x));
      return Math.abs(read / x - 1) <= 0.005 + 1e-12;
    }),
  );
});
