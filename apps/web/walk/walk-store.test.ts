import type { StudyInput, WalkRecord, WalkReport } from '@striderule/engine';
import { beforeEach, expect, test } from 'vitest';
import type { WalkAsk } from './answer-walk.ts';
import { askKey } from './ask-key.ts';
import {
  isStale,
  keepWalk,
  keptWalk,
  removeKeptWalk,
  storedWalk,
  storeWalk,
  type Walked,
} from './walk-store.ts';

const studied = (ratio: number) => ({ leg: { ratio }, strides: {} }) as unknown as StudyInput;
const walked = (ratio: number, rows = 1): Walked => ({
  kind: 'walked',
  report: {} as WalkReport,
  record: { log: { table: new Float64Array(rows) } } as WalkRecord,
  took: 1,
  ask: { input: studied(ratio), choice: { speed: 1.1 }, step: 1e-3, strides: 2 },
});
const most = { walks: 3, bytes: 800 };
const put = (ratio: number, rows?: number) => storeWalk(askKey(walked(ratio).ask), walked(ratio, rows), most);
const there = (ratio: number) => storedWalk(askKey(walked(ratio).ask)) !== undefined;

beforeEach(() => {
  // nothing of another test: one that is too large for any other
  put(-1, 1000);
  removeKeptWalk(studied(22));
});

test('the same question about the same study finds it, whichever object asks; another study does not', () => {
  put(22);
  expect(there(22)).toBe(true);
  expect(there(23)).toBe(false);
  const faster: WalkAsk = { ...walked(22).ask, choice: { speed: 1.2 } };
  expect(storedWalk(askKey(faster))).toBeUndefined();
});

test('too many: that which was not used for longest goes', () => {
  for (const ratio of [1, 2, 3]) put(ratio);
  expect(there(1)).toBe(true);
  put(4);
  expect([1, 2, 3, 4].map(there)).toEqual([true, false, true, true]);
});

test('too many bytes: as many go as make room, and the newest stays whatever it takes', () => {
  put(1, 40);
  put(2, 40);
  put(3, 50);
  expect([1, 2, 3].map(there)).toEqual([false, true, true]);
  put(4, 500);
  expect([2, 3, 4].map(there)).toEqual([false, false, true]);
});

test('a kept walk is stale once its leg is another, and not where the same was read anew', () => {
  keepWalk({ walked: walked(22), name: 'Tern-22', file: 'tern-22' });
  const kept = keptWalk()!;
  const leg = (ratio: number) => [{ file: 'tern-22', name: 'Tern', input: studied(ratio) }];
  expect(isStale(kept, leg(22))).toBe(false);
  expect(isStale(kept, leg(23))).toBe(true);
  expect(isStale(kept, [])).toBe(true);
  removeKeptWalk(studied(22));
  expect(keptWalk()).toBeUndefined();
});
