import { expect, test } from 'vitest';
import { NO_STEPS, ratioNow, readHistory, redone, stepped, undone } from './ratio-history.ts';

const first = stepped(NO_STEPS, { joint: 'ankle', from: 22, to: 18 });
const second = stepped(first, { joint: 'knee', from: 22, to: 20 });

test('each joint has its own ratio; undo takes back the last change of either, redo brings it again', () => {
  expect([ratioNow(second, 'ankle', 22), ratioNow(second, 'knee', 22)]).toEqual([18, 20]);
  const back = undone(second);
  expect([ratioNow(back, 'ankle', 22), ratioNow(back, 'knee', 22)]).toEqual([18, 22]);
  expect(redone(back)).toEqual(second);
  expect(undone(undone(undone(second))).done).toBe(0);
  expect(redone(second)).toEqual(second);
});

test('after a save, undo leads back to the value before it', () => {
  expect(ratioNow(undone(first), 'ankle', 18)).toBe(22);
});

test('a new change after an undo forgets what was undone; a change to the same value is none', () => {
  const other = stepped(undone(first), { joint: 'ankle', from: 22, to: 30 });
  expect(other.steps).toHaveLength(1);
  expect(ratioNow(other, 'ankle', 22)).toBe(30);
  expect(stepped(first, { joint: 'ankle', from: 18, to: 18 })).toEqual(first);
});

test('a kept history comes back whole, anything else not at all', () => {
  expect(readHistory(JSON.stringify(second))).toEqual(second);
  for (const text of [
    '',
    '{}',
    '{"steps":[],"done":1}',
    '{"steps":[{"joint":"hip","from":1,"to":2}],"done":1}',
  ])
    expect(readHistory(text)).toBeUndefined();
});
