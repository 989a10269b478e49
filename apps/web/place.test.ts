import { expect, test } from 'vitest';
import { placeText, readPlace } from './place.ts';

test('a place goes through its text and back', () => {
  const place = { task: 'walk-fast', joint: 'knee', percent: 54.5, laid: ['walk-slow', 'stair-up'] } as const;
  expect(readPlace(placeText(place))).toEqual(place);
});

test('what is not understood falls back', () => {
  expect(readPlace('#joint=elbow&at=400')).toEqual({ joint: 'ankle', percent: 50, laid: [] });
  expect(readPlace('', { task: 'a', joint: 'hip', percent: 3, laid: ['b'] })).toEqual({
    task: 'a',
    joint: 'hip',
    percent: 3,
    laid: ['b'],
  });
});
