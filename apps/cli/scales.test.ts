import { expect, test } from 'vitest';
import { limitBar, strideAxis, strideScale } from './scales.ts';

const samples = (of: (percent: number) => number): Float64Array =>
  Float64Array.from({ length: 201 }, (_, i) => of(i / 2));

test('a curve has one column each 2 % and its own ends', () => {
  const rising = strideScale(samples((percent) => percent));
  expect([...rising]).toHaveLength(51);
  expect(rising.startsWith('▁')).toBe(true);
  expect(rising.endsWith('█')).toBe(true);
  expect([...rising].indexOf('█')).toBeGreaterThan(45);
});

test('a gap stays a gap, and a constant is a level line', () => {
  const gap = strideScale(samples((percent) => (percent > 40 && percent < 60 ? Number.NaN : percent)));
  expect([...gap].slice(21, 30).join('')).toBe(' '.repeat(9));
  expect(new Set(strideScale(samples(() => 3)))).toEqual(new Set(['▄']));
});

test('the axis ticks each 10 % under the column of that instant, and shows toe-off', () => {
  const { ticks, numerals } = strideAxis(0.62);
  expect([...ticks]).toHaveLength(51);
  expect([...ticks][31]).toBe('┃');
  for (let tenth = 0; tenth <= 10; tenth++) expect(numerals.indexOf(String(tenth * 10))).toBe(tenth * 5);
});

const most = { kind: 'at most', value: 4 } as const;
const least = { kind: 'at least', value: 2 } as const;

test.each([
  ['half of what is allowed', 2, most, '━━━━━━━━●       │'],
  ['exactly the limit', 4, most, '━━━━━━━━━━━━━━━━●'],
  ['beyond it', 5, most, '━━━━━━━━━━━━━━━━┿━━━●'],
  ['beyond the scale', 400, most, '━━━━━━━━━━━━━━━━┿━━━━━━▸'],
  ['twice what is asked', 4, least, '━━━━━━━━●       │'],
  ['half of what is asked', 1.6, least, '━━━━━━━━━━━━━━━━┿━━━●'],
  ['not predicted', null, most, '                │'],
  ['missing', Number.NaN, most, '                │'],
] as const)('%s', (_, predicted, bound, bar) => {
  expect(limitBar(predicted, bound, null)).toBe(bar);
});

test('an interval across the limit shows on both sides of it', () => {
  expect(limitBar(3.5, most, { low: 3, high: 4.5 })).toBe('━━━━━━━━━━━━╌╌●╌┆╌╌');
});

test('what has no bound, and what has nothing of what is asked, fill the bar and go on beyond', () => {
  const beyond = '━━━━━━━━━━━━━━━━┿━━━━━━▸';
  expect(limitBar(Number.POSITIVE_INFINITY, { kind: 'at most', value: 393 }, null)).toBe(beyond);
  expect(limitBar(0, { kind: 'at least', value: 3 }, null)).toBe(beyond);
});
