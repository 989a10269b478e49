import { expect, test } from 'vitest';
import { SUBPHASES, stanceEvents } from './stance-events.ts';

const curve = (...y: number[]) => Float64Array.from(y);

test('an ankle that goes down to foot flat at 2, up to its peak at 8, and down again', () => {
  const events = stanceEvents('ankle', curve(0, -2, -5, -3, 0, 2, 4, 6, 7, 3, -4, -9, -15));
  expect(events).toEqual([0, 2, 5, 8, 12]);
  expect(events).toHaveLength(SUBPHASES.ankle.length + 1);
});

test('a knee that bends to its peak at 3 and is straightest at 7', () => {
  const events = stanceEvents('knee', curve(5, 12, 17, 19, 16, 12, 8, 6, 9, 20, 38));
  expect(events).toEqual([0, 3, 7, 10]);
  expect(events).toHaveLength(SUBPHASES.knee.length + 1);
});

test('a joint that does not turn has no sub-phases, and says so', () => {
  const rising = Float64Array.from({ length: 20 }, (_, i) => i);
  expect(stanceEvents('ankle', rising)).toEqual({
    openBecause: 'the ankle does not go down to foot flat and up again in stance',
  });
  expect(stanceEvents('knee', rising)).toEqual({
    openBecause: 'the knee does not bend and stretch again in stance',
  });
});
