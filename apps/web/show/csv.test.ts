import { expect, test } from 'vitest';
import { csvText } from './csv.ts';
import { phaseName } from './phase.ts';

// RFC 4180, sections 2.5 to 2.7.
test('quotes, commas and line breaks are quoted, a quote is doubled, missing is empty', () => {
  expect(csvText([['a', 'b "c", d', 'e\nf', Number.NaN, null, -1.5]])).toBe(
    '\uFEFFa,"b ""c"", d","e\nf",,,-1.5\r\n',
  );
});

test('at half a stride the other foot comes down, whenever this one leaves; in a run it does not while this one bears', () => {
  for (const stance of [0.58, 0.6, 0.62, 0.65]) {
    expect([49.5, 50].map((p) => phaseName(p, stance))).toEqual(['terminal stance', 'pre-swing']);
    // both feet bear from 50 % to toe-off, and as long after contact
    expect([100 * stance - 50.1, 100 * stance - 49.9].map((p) => phaseName(p, stance))).toEqual([
      'loading response',
      'mid stance',
    ]);
  }
  expect([0, 15, 20, 37, 41].map((p) => phaseName(p, 0.38))).toEqual([
    'mid stance',
    'mid stance',
    'terminal stance',
    'terminal stance',
    'initial swing',
  ]);
});

test('phases change where they are said to', () => {
  expect([0, 30, 45, 60, 65, 80, 99].map((p) => phaseName(p, 0.62))).toEqual([
    'loading response',
    'mid stance',
    'terminal stance',
    'pre-swing',
    'initial swing',
    'mid swing',
    'terminal swing',
  ]);
});
