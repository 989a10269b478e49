import { expect, test } from 'vitest';
import { csvText } from './csv.ts';
import { phaseName } from './phase.ts';

// RFC 4180, sections 2.5 to 2.7.
test('quotes, commas and line breaks are quoted, a quote is doubled, missing is empty', () => {
  expect(csvText([['a', 'b "c", d', 'e\nf', Number.NaN, null, -1.5]])).toBe(
    '\uFEFFa,"b ""c"", d","e\nf",,,-1.5\r\n',
  );
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
