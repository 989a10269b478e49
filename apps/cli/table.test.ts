import { expect, test } from 'vitest';
import { csv, table } from './table.ts';

test('columns are aligned, the unit stands below the head, no line ends in space', () => {
  const text = table(
    [
      { head: 'task', align: 'left' },
      { head: 'peak moment', unit: 'N·m' },
      { head: 'at', unit: '%' },
    ],
    [
      ['walk', '−12.3', '46'],
      ['a longer one', '1', '—'],
    ],
  );
  expect(text).toBe(
    [
      'task          peak moment  at',
      '                      N·m   %',
      'walk                −12.3  46',
      'a longer one            1   —',
    ].join('\n'),
  );
});

test('CSV quotes what must be quoted (RFC 4180, 2.6–2.7) and leaves missing numbers empty', () => {
  expect(
    csv(
      ['a', 'b "x"'],
      [
        ['1,5', Number.NaN],
        ['line\nbreak', -2.5],
        [null, undefined],
      ],
    ),
  ).toBe('a,"b ""x"""\n"1,5",\n"line\nbreak",-2.5\n,\n');
});
