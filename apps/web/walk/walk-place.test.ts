import { expect, test } from 'vitest';
import { placeText, readPlace } from '../place.ts';
import { FIRST_WALK, readWalk, walkFields } from './walk-place.ts';

const WALK = {
  leg: 'tern-100',
  speed: 1.22,
  ground: 'overground',
  thigh: 'led',
  control: 'study',
  step: 5e-4,
  stride: 7,
} as const;

test('what is walked goes through the address and back', () => {
  expect(readWalk(new URLSearchParams(walkFields(WALK)), undefined)).toEqual(WALK);
  expect(readWalk(new URLSearchParams(walkFields(FIRST_WALK)), WALK)).toEqual(FIRST_WALK);
  const place = { page: 'walk', joint: 'knee', percent: 52, laid: [], method: 'latch', walk: WALK } as const;
  expect(readPlace(placeText(place))).toEqual(place);
});

test.each([
  { scenario: 'step-15' },
  { fault: { name: 'knee-stuck', percent: 34 } },
  { cut: 45, beside: 'tern-100' },
])('what goes otherwise than every day does too: %o', (instead) => {
  const walk = { ...WALK, ...instead };
  expect(readWalk(new URLSearchParams(walkFields(walk)), undefined)).toEqual(walk);
  // a link that names another walk takes it back
  expect(readWalk(new URLSearchParams('speed=1.22'), walk)).not.toMatchObject(instead);
});

test('it is named on Walk only, and kept where it is not named', () => {
  const place = { page: 'drive', joint: 'knee', percent: 52, laid: [], method: 'latch', walk: WALK } as const;
  expect(placeText(place)).not.toMatch(/leg=|speed=|stride=/);
  expect(readPlace(placeText(place), place)).toEqual(place);
});

test('what is not understood stays as it was', () => {
  const odd = 'speed=-1&ground=moon&thigh=free&control=none&step=0.3&stride=2.5&fault=knee-stuck&cut=100';
  expect(readWalk(new URLSearchParams(odd), FIRST_WALK)).toEqual(FIRST_WALK);
});
