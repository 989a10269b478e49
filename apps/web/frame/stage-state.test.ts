import type { Demands, LedgerRow } from '@striderule/engine';
import { expect, test } from 'vitest';
import { stageState } from './stage-state.ts';

const row = (state: LedgerRow['state'], chapter = 'drive.md#heat') => ({ state, chapter }) as LedgerRow;
const LEDGER = [row('met'), row('not met'), row('not met'), row('open'), row('open', 'control.md#stance')];
const demands = { a: { kind: 'stride' }, b: { kind: 'peaks' }, c: { kind: 'peaks' } } as unknown as Demands;
const settled = { known: 'whole', unsaved: [] } as const;

test('a stage says what is wrong with its own lines, in words', () => {
  expect(stageState('demand', demands, LEDGER, settled)).toBe('1 curve, 2 peaks only');
  expect(stageState('drive', demands, LEDGER, settled)).toBe('2 not met, 1 open');
  expect(stageState('control', demands, LEDGER, settled)).toBe('1 open');
  expect(stageState('evidence', demands, LEDGER, settled)).toBe('2 not met, 2 open');
  expect(stageState('drive', demands, LEDGER, { known: 'whole', unsaved: ['drive'] })).toBe(
    '2 not met, 1 open, unsaved',
  );
  expect(stageState('drive', demands, [row('met'), row('met')], settled)).toBe('2 met');
  expect(stageState('evidence', demands, [], settled)).toBe('nothing asked yet');
});

test('before the intervals are known nothing is called met or open', () => {
  const coming = { known: 'values', unsaved: [] } as const;
  expect(stageState('drive', demands, LEDGER, coming)).toBe('2 not met, intervals to come');
  expect(stageState('drive', demands, [row('met')], coming)).toBe('intervals to come');
  // drawn along a slide: nothing that comes and goes
  const drawn = { known: 'values', unsaved: ['drive'] } as const;
  expect(stageState('drive', demands, LEDGER, drawn)).toBe('2 not met, unsaved');
  expect(stageState('drive', demands, [row('met')], drawn)).toBe('unsaved');
  const nothing = { known: 'nothing', unsaved: [] } as const;
  expect(stageState('drive', demands, LEDGER, nothing)).toBe('4 to come');
  expect(stageState('drive', demands, LEDGER, { ...coming, lost: true })).toBe(
    '2 not met, intervals not known',
  );
  expect(stageState('drive', demands, LEDGER, { ...nothing, known: 'lost', lost: true })).toBe('4 not known');
});

test('what walks judge waits for no interval; it says what is to be walked, and what is stale', () => {
  const walked = (state: LedgerRow['state'], pending?: 'to walk' | 'walking …') =>
    ({ ...row(state, 'walk.md#in-the-ledger'), walk: {}, ...(pending && { pending }) }) as LedgerRow;
  const rows = [
    walked('met'),
    walked('open', 'to walk'),
    walked('open', 'walking …'),
    walked('stale', 'to walk'),
  ];
  expect(stageState('walk', demands, rows, { known: 'values', unsaved: [] })).toBe('1 stale, 2 to walk');
  expect(stageState('walk', demands, [walked('met')], { known: 'nothing', unsaved: [] })).toBe('1 met');
});
