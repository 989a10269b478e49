import { expect, test } from 'vitest';
import { changedLines } from './changed-lines.ts';

test('changed, new and gone lines, each with its number in the text as it was', () => {
  expect(changedLines('a\nb\nc\nd\n', 'a\nB\nc\nd\n')).toEqual([{ line: 2, before: 'b', after: 'B' }]);
  expect(changedLines('a\nb\nd\n', 'a\nb\nc\nd\n')).toEqual([{ line: 3, after: 'c' }]);
  expect(changedLines('a\nb\nc\nd\n', 'a\nd\n')).toEqual([
    { line: 2, before: 'b' },
    { line: 3, before: 'c' },
  ]);
  expect(changedLines('a\nb\nc\nd\ne\n', 'A\nb\nx\nc\nd\n')).toEqual([
    { line: 1, before: 'a', after: 'A' },
    { line: 3, after: 'x' },
    { line: 5, before: 'e' },
  ]);
  expect(changedLines('a\n', 'a\n')).toEqual([]);
});

/** The text after, made of the text before and the changes alone. */
function replayed(before: string, changes: ReturnType<typeof changedLines>): string {
  const lines = before.split('\n');
  const made: string[] = [];
  for (let k = 0; k <= lines.length; k++) {
    const here = changes.filter(({ line }) => line === k + 1);
    const replaced = here.find((change) => change.before !== undefined);
    const news = here.filter((change) => change.before === undefined).map(({ after }) => after!);
    if (replaced === undefined) made.push(...news, ...lines.slice(k, k + 1));
    else {
      expect(replaced.before).toBe(lines[k]);
      made.push(...(replaced.after === undefined ? [] : [replaced.after]), ...news);
    }
  }
  return made.join('\n');
}

test('the changes of any two texts lead from one to the other, and no common line is told as changed', () => {
  let seed = 7;
  const random = (below: number): number => {
    seed = (seed * 48271) % 2147483647;
    return seed % below;
  };
  for (let round = 0; round < 300; round++) {
    const text = () => Array.from({ length: random(9) }, () => 'abcde'[random(5)]).join('\n');
    const [before, after] = [text(), text()];
    const changes = changedLines(before, after);
    // lines that come after a replaced one in a run carry the run's numbers; texts of single letters hide nothing of it
    const gone = changes.filter((change) => change.before !== undefined).length;
    const come = changes.filter((change) => change.after !== undefined).length;
    const longest = longestCommon(before.split('\n'), after.split('\n'));
    expect([before.split('\n').length - gone, after.split('\n').length - come]).toEqual([longest, longest]);
    expect(replayed(before, changes)).toBe(after);
  }
});

/** By trying every subsequence: slow, and plain. */
function longestCommon(a: readonly string[], b: readonly string[]): number {
  let most = 0;
  for (let mask = 0; mask < 2 ** a.length; mask++) {
    const picked = a.filter((_, k) => mask & (1 << k));
    let at = 0;
    for (const line of b) if (at < picked.length && line === picked[at]) at++;
    if (at === picked.length) most = Math.max(most, picked.length);
  }
  return most;
}
