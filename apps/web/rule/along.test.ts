import { expect, test } from 'vitest';
import { alongWords, axisNumerals, axisTicks, partAt, placeText, shownSamples } from './along.ts';
import type { Along } from './scale.ts';

const look = { tint: 'stance', weave: 0 } as const;
const chair: Along = {
  seconds: 20,
  parts: [
    { name: 'standing', from: 0, to: 0.4, look },
    { name: 'sitting', from: 0.4, to: 0.9, look },
  ],
};
const stride: Along = { stance: 0.6 };
const stopped: Along = {
  parts: [
    { name: 'foot loaded', from: 0, to: 0.25, look },
    { name: 'foot loaded, standing', from: 0.25, to: 1, look },
  ],
};
const hung: Along = { parts: [] };

test('a stride is read in per cent and by the phases of gait, a way told as a whole in seconds and by its parts', () => {
  expect([placeText(stride, 30.5), partAt(stride, 30.5)]).toEqual(['30.5 %', 'terminal stance']);
  expect([placeText(chair, 30.5), partAt(chair, 30.5)]).toEqual(['6.10 s', 'standing']);
  expect(partAt(chair, 60)).toBe('sitting');
  // what ended before its time has no part there
  expect(partAt(chair, 95)).toBe('');
  expect([placeText(stopped, 30), partAt(stopped, 30)]).toEqual(['30 %', 'foot loaded, standing']);
  expect([placeText(hung, 30), partAt(hung, 30)]).toEqual(['30 %', '']);
});

test('in words', () => {
  expect(alongWords(stride)).toBe('over one stride, stance to 60.0 %');
  expect(alongWords(chair)).toBe('over 20.00 s: standing 0.00 to 8.00 s, sitting 8.00 to 18.00 s');
  expect(alongWords(stopped)).toBe(
    'over one stride: foot loaded 0 to 25 %, foot loaded, standing 25 to 100 %',
  );
  expect(alongWords(hung)).toContain('neither stance nor swing');
});

test('engraved ticks and numerals of seconds stand where the seconds are', () => {
  const numerals = axisNumerals(chair);
  for (const { percent, text } of numerals) expect((20 * percent) / 100).toBeCloseTo(Number(text), 9);
  expect(numerals).toHaveLength(11);
  const tall = axisTicks(chair, 700).filter(({ rank }) => rank === 2);
  expect(tall.map(({ percent }) => percent)).toEqual(numerals.map(({ percent }) => percent));
  // none nearer to the next than can be told apart
  for (const length of [350, 700]) {
    const ticks = axisTicks(chair, length);
    for (const [k, { percent }] of ticks.slice(1).entries())
      expect(((percent - ticks[k]!.percent) * length) / 100).toBeGreaterThanOrEqual(6);
  }
});

test('the table begins at the beginning, and its rows are evenly apart in what the axis counts', () => {
  expect(shownSamples(stride, 201)).toEqual(Array.from({ length: 21 }, (_, k) => 10 * k));
  const rows = shownSamples(chair, 1001);
  expect(rows[0]).toBe(0);
  expect(new Set(rows.slice(1).map((row, k) => row - rows[k]!)).size).toBe(1);
});
