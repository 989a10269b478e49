import { expect, test } from 'vitest';
import { spreadLabels } from './labels.ts';
import { limitsOf, numerals, strideTicks } from './ticks.ts';

test('numerals are round, few, and hold zero', () => {
  expect(numerals(-640, 520, 4)).toEqual([-500, 0, 500]);
  expect(numerals(0, 8.4, 4)).toEqual([0, 2.5, 5, 7.5]);
  for (const [low, high] of [
    [-0.3, 0.1],
    [-3, 190],
    [-17, 23],
    [0, 1e5],
  ] as const) {
    const marks = numerals(low, high, 4);
    expect(marks.length).toBeGreaterThanOrEqual(2);
    expect(marks.length).toBeLessThanOrEqual(4);
    expect(marks.some((v) => Math.abs(v) < 1e-12)).toBe(true);
  }
  expect(numerals(1, 1, 4)).toEqual([]);
});

test('limits hold every value and zero, and NaN moves nothing', () => {
  const { low, high } = limitsOf([3, Number.NaN, -2]);
  expect(low).toBeLessThanOrEqual(-2);
  expect(high).toBeGreaterThanOrEqual(3);
  expect(limitsOf([4, 5]).low).toBe(0);
  expect(limitsOf([Number.NaN])).toEqual({ low: -1, high: 1 });
});

test('stride ticks: 101 where there is room, tens and fives ranked, odd fives kept where there is not', () => {
  expect(strideTicks(7)).toHaveLength(101);
  expect(strideTicks(7).filter(({ rank }) => rank === 2)).toHaveLength(11);
  expect(strideTicks(3.5)).toHaveLength(51 + 10);
});

test('labels keep their distance and stay inside', () => {
  expect(spreadLabels([10, 11, 12], 13, 0, 60)).toEqual([10, 23, 36]);
  expect(spreadLabels([58, 59], 13, 0, 60)).toEqual([47, 60]);
  expect(spreadLabels([30, 5], 13, 0, 60)).toEqual([30, 5]);
  const crowded = spreadLabels([1, 2, 3, 4], 30, 0, 60);
  expect(Math.max(...crowded)).toBe(60);
  expect(Math.min(...crowded)).toBe(0);
});
