import { expect, test } from 'vitest';
import {
  type Asked,
  askedNow,
  gainsNow,
  NO_STEPS,
  ratioNow,
  readHistory,
  redone,
  stepped,
  undone,
} from './history.ts';

const first = stepped(NO_STEPS, { ratio: 'ankle', from: 22, to: 18 });
const second = stepped(first, { ratio: 'knee', from: 22, to: 20 });
const stated = { stiffness: 271, damping: 3.9 };
const stiff = { stiffness: 400, damping: 3.9 };
const tenth: Asked = { text: '1.1', value: 1.1, joint: 'ankle', because: 'a tenth in hand' };
const fifth: Asked = { ...tenth, text: '1.2', value: 1.2 };
const third = stepped(second, { requirement: 'ankle-torque', from: tenth, to: fifth });

test('each joint has its own ratio; undo takes back the last change of either, redo brings it again', () => {
  expect([ratioNow(second, 'ankle', 22), ratioNow(second, 'knee', 22)]).toEqual([18, 20]);
  const back = undone(second);
  expect([ratioNow(back, 'ankle', 22), ratioNow(back, 'knee', 22)]).toEqual([18, 22]);
  expect(redone(back)).toEqual(second);
  expect(undone(undone(undone(second))).done).toBe(0);
  expect(redone(second)).toEqual(second);
});

test('gains and ratios are steps of one row, and do not touch one another', () => {
  const both = stepped(second, { gains: 'ankle', from: stated, to: stiff });
  expect(gainsNow(both, 'ankle', stated)).toEqual(stiff);
  expect(gainsNow(both, 'knee', stated)).toEqual(stated);
  expect([ratioNow(both, 'ankle', 22), ratioNow(both, 'knee', 22)]).toEqual([18, 20]);
  const back = undone(both);
  expect(gainsNow(back, 'ankle', stated)).toEqual(stated);
  expect(ratioNow(back, 'knee', 22)).toBe(20);
  expect(stepped(both, { gains: 'ankle', from: stiff, to: { ...stiff } })).toEqual(both);
  expect(readHistory(JSON.stringify(both))).toEqual(both);
});

test('requirements and ratios are steps of one row', () => {
  expect(askedNow(third, 'ankle-torque', tenth)).toEqual(fifth);
  expect(askedNow(third, 'knee-torque', tenth)).toEqual(tenth);
  const back = undone(third);
  expect([askedNow(back, 'ankle-torque', tenth), ratioNow(back, 'knee', 22)]).toEqual([tenth, 20]);
  expect(ratioNow(undone(back), 'knee', 22)).toBe(22);
});

test('after a save, undo leads back to the value before it', () => {
  expect(ratioNow(undone(first), 'ankle', 18)).toBe(22);
  expect(askedNow(undone(third), 'ankle-torque', fifth)).toEqual(tenth);
});

test('a new change after an undo forgets what was undone; a change to the same value is none', () => {
  const other = stepped(undone(first), { ratio: 'ankle', from: 22, to: 30 });
  expect(other.steps).toHaveLength(1);
  expect(ratioNow(other, 'ankle', 22)).toBe(30);
  // the very record: nothing is worked out again
  expect(stepped(first, { ratio: 'ankle', from: 18, to: 18 })).toBe(first);
  // the same bound in other words is the same bound
  expect(
    stepped(first, { requirement: 'ankle-torque', from: tenth, to: { ...tenth, text: '110 %' } }),
  ).toEqual(first);
});

test('a kept history comes back whole, anything else not at all', () => {
  expect(readHistory(JSON.stringify(third))).toEqual(third);
  for (const text of [
    '',
    '{}',
    '{"steps":[],"done":1}',
    '{"steps":[{"ratio":"hip","from":1,"to":2}],"done":1}',
    '{"steps":[{"joint":"knee","from":1,"to":2}],"done":1}',
    '{"steps":[{"gains":"knee","from":1,"to":{"stiffness":2,"damping":0}}],"done":1}',
    '{"steps":[{"requirement":"a","from":{"text":"1","value":1,"because":"x"},"to":{"value":2}}],"done":1}',
  ])
    expect(readHistory(text)).toBeUndefined();
});
