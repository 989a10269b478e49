import { expect, test } from 'vitest';
import { fixed, GAP, rangeText, significant, written } from './number.ts';

// Expectations are the rules themselves: U+2212 for minus (ISO 80000-1 prints a minus, not a hyphen), no negative zero, a gap for what is missing.
test('minus is a minus, zero has no sign, missing is a gap', () => {
  expect(fixed(-3.64, 2)).toBe('\u22123.64');
  expect(fixed(-0.004, 2)).toBe('0.00');
  expect(fixed(Number.NaN, 2)).toBe(GAP);
  expect(fixed(null, 2)).toBe(GAP);
  expect(fixed(Number.NEGATIVE_INFINITY, 0)).toBe('\u2212∞');
});

test('significant figures keep the digits before the point', () => {
  expect(significant(0.11411)).toBe('0.114');
  expect(significant(1234.5)).toBe('1235');
  expect(significant(0.9996)).toBe('1.00');
  expect(significant(-0.00002148)).toBe('\u22122.15·10^\u22125');
  expect(significant(0)).toBe('0');
  expect(significant(undefined)).toBe(GAP);
});

test('a range with equal ends is one number', () => {
  expect(rangeText(2, 2, 1)).toBe('2.0');
  expect(rangeText(1, 2.5, 1)).toBe('1.0\u20132.5');
  expect(rangeText(-9, 108, 0)).toBe('\u22129 to 108');
});

test('what was written keeps no zeros that were not', () => {
  expect([22, 0.94, 0.00002, -0.165, 0.0002148, 0, 1.76].map((value) => written(value))).toEqual([
    '22',
    '0.94',
    '0.00002',
    '\u22120.165',
    '0.0002148',
    '0',
    '1.76',
  ]);
});
