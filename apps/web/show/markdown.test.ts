import { expect, test } from 'vitest';
import { markdownText } from './markdown.ts';

// Tables as GitHub Flavored Markdown Spec 0.29, section 4.10: a delimiter row, "---:" to the right, "|" within a cell escaped.
test('a table, numbers to the right, bars escaped, missing cells empty', () => {
  expect(
    markdownText([
      ['what | where', 'value'],
      ['a\nb', 1.5],
      ['c', Number.NaN],
      ['d', -2],
    ]),
  ).toBe('| what \\| where | value |\n| --- | ---: |\n| a b | 1.5 |\n| c |  |\n| d | -2 |\n');
});

test('a short row is filled up, so that every line has as many cells', () => {
  const lines = markdownText([['a', 'b', 'c'], ['x']])
    .trimEnd()
    .split('\n');
  expect(new Set(lines.map((line) => line.split('|').length)).size).toBe(1);
});
