import { expect, test } from 'vitest';
import { peaksTable } from './drive-peaks.ts';

test('ranges of published peaks, printed by hand', () => {
  expect(
    peaksTable([
      {
        task: 'chair',
        joint: 'knee',
        peaks: { torqueMargin: { low: 1.0649, high: 4.1133 }, speedMargin: { low: 2, high: 2 } },
      },
      { task: 'chair', joint: 'ankle', peaks: { torqueMargin: { low: 1.5911, high: Infinity } } },
    ]),
  ).toBe(
    [
      'Published peaks only, no curve: no heat, no energy',
      'task   joint  torque margin  speed margin',
      '               limit ÷ need  limit ÷ need',
      'chair  knee     1.06 … 4.11          2.00',
      '       ankle      from 1.59             —',
    ].join('\n'),
  );
});
