import { expect, test } from 'vitest';
import { BAR, barPlace, within } from './bar-scale.ts';

test('left of the limit is room, whichever way the bound points, and a factor of two is one step', () => {
  const most = { kind: 'at most', value: 8 } as const;
  const least = { kind: 'at least', value: 8 } as const;
  expect(barPlace(most, 8)).toBe(BAR.limit);
  expect(barPlace(most, 4)).toBe(BAR.limit - BAR.perOctave);
  expect(barPlace(least, 16)).toBe(BAR.limit - BAR.perOctave);
  expect(barPlace(least, 4)).toBe(BAR.limit + BAR.perOctave);
  expect(barPlace(most, 0)).toBe(0);
  expect(barPlace(most, -1)).toBeUndefined();
  expect(barPlace(least, Number.NaN)).toBeUndefined();
});

test('a winding that runs away and a time of zero are drawn at the lacking end, not left out', () => {
  const runaway = barPlace({ kind: 'at most', value: 393 }, Number.POSITIVE_INFINITY);
  const none = barPlace({ kind: 'at least', value: 3 }, 0);
  for (const place of [runaway, none]) {
    expect(place).toBeDefined();
    expect(within(place as number)).toEqual({ x: BAR.width - 3, beyond: true });
  }
});

test('what lies beyond the bar is marked so', () => {
  expect(within(-40)).toEqual({ x: 3, beyond: true });
  expect(within(50)).toEqual({ x: 50, beyond: false });
});
