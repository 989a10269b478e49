import { expect, test } from 'vitest';
import { type LogScale, logAt, logNumerals, logTicks, valueAtPx } from './log-scale.ts';

const RULE: LogScale = { low: 3, decade: 350, length: 700 };

test('a factor is a length, wherever it stands, and places go back to values', () => {
  expect(logAt(RULE, 30) - logAt(RULE, 3)).toBeCloseTo(350, 9);
  expect(logAt(RULE, 44) - logAt(RULE, 22)).toBeCloseTo(350 * Math.log10(2), 9);
  expect(valueAtPx(RULE, logAt(RULE, 176))).toBeCloseTo(176, 9);
});

test.each([RULE, { low: 10, decade: 175, length: 350 }, { low: 0.005, decade: 350, length: 700 }])(
  'ticks of %o stand in order, inside, apart, and hold every whole digit of their decades',
  (scale) => {
    const ticks = logTicks(scale);
    const gaps = ticks.slice(1).map(({ x }, k) => x - ticks[k]!.x);
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(2.8 - 1e-9);
    expect(ticks[0]!.x).toBeGreaterThanOrEqual(-0.01);
    expect(ticks.at(-1)!.x).toBeLessThanOrEqual(scale.length + 0.01);
    // two decades hold 18 steps between whole digits, and both ends are whole
    expect(ticks.filter(({ rank }) => rank > 0)).toHaveLength(19);
  },
);

test('numerals stand clear of one another, ones before twos and fives before the rest', () => {
  const numerals = logNumerals(logTicks(RULE), (text) => 6 * text.length);
  for (const [k, { x, text }] of numerals.slice(1).entries()) {
    const before = numerals[k]!;
    expect(x - before.x).toBeGreaterThanOrEqual(3 * (text.length + before.text.length) + 8);
  }
  expect(numerals.map(({ text }) => text)).toEqual(
    expect.arrayContaining(['10', '100', '5', '20', '50', '200']),
  );
});
