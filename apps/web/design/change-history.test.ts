import { expect, test } from 'vitest';
import { gainsNow, NO_STEPS, ratioNow, readHistory, redone, stepped, undone } from './change-history.ts';

const first = stepped(NO_STEPS, { what: 'ratio', joint: 'ankle', from: 22, to: 18 });
const second = stepped(first, { what: 'ratio', joint: 'knee', from: 22, to: 20 });
const stated = { stiffness: 271, damping: 3.9 };
const stiff = { stiffness: 400, damping: 3.9 };

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

test('gains and ratios are steps of one row, and do not touch one another', () => {
  const both = stepped(second, { what: 'gains', joint: 'ankle', from: stated, to: stiff });
  expect(gainsNow(both, 'ankle', stated)).toEqual(stiff);
  expect(gainsNow(both, 'knee', stated)).toEqual(stated);
  expect([ratioNow(both, 'ankle', 22), ratioNow(both, 'knee', 22)]).toEqual([18, 20]);
  const back = undone(both);
  expect(gainsNow(back, 'ankle', stated)).toEqual(stated);
  expect(ratioNow(back, 'knee', 22)).toBe(20);
  expect(stepped(both, { what: 'gains', joint: 'ankle', from: stiff, to: { ...stiff } })).toEqual(both);
});

test('a new change after an undo forgets what was undone; a change to the same value is none', () => {
  const other = stepped(undone(first), { what: 'ratio', joint: 'ankle', from: 22, to: 30 });
  expect(other.steps).toHaveLength(1);
  expect(ratioNow(other, 'ankle', 22)).toBe(30);
  expect(stepped(first, { what: 'ratio', joint: 'ankle', from: 18, to: 18 })).toEqual(first);
});

test('a kept history comes back whole, anything else not at all', () => {
  const both = stepped(second, { what: 'gains', joint: 'ankle', from: stated, to: stiff });
  expect(readHistory(JSON.stringify(both))).toEqual(both);
  for (const text of [
    '',
    '{}',
    '{"steps":[],"done":1}',
    '{"steps":[{"what":"ratio","joint":"hip","from":1,"to":2}],"done":1}',
    '{"steps":[{"joint":"knee","from":1,"to":2}],"done":1}',
    '{"steps":[{"what":"gains","joint":"knee","from":1,"to":{"stiffness":2,"damping":0}}],"done":1}',
  ])
    expect(readHistory(text)).toBeUndefined();
});
