import { afterEach, expect, test, vi } from 'vitest';
import { followAddress, keepPlace, placeText, readPlace } from './place.ts';

afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

test('a place goes through its text and back', () => {
  const place = {
    page: 'drive',
    task: 'walk-fast',
    joint: 'knee',
    percent: 54.5,
    laid: ['walk-slow', 'stair-up'],
    method: 'latch',
  } as const;
  expect(readPlace(placeText(place))).toEqual(place);
});

test('a line of the evidence is named only there', () => {
  const place = {
    page: 'evidence',
    joint: 'knee',
    percent: 50,
    laid: [],
    row: 'knee-speed',
    method: 'latch',
  } as const;
  expect(readPlace(placeText(place))).toEqual(place);
  expect(placeText({ ...place, page: 'drive' })).not.toContain('row');
});

test('gains and the phase of the swing are named on Control only; gains beyond the scales are none', () => {
  const place = {
    page: 'control',
    joint: 'knee',
    percent: 50,
    laid: [],
    gains: { stiffness: 412, damping: 0.05 },
    method: 'oscillator',
  } as const;
  expect(readPlace(placeText(place))).toEqual(place);
  expect(placeText({ ...place, page: 'drive' })).not.toMatch(/k=|b=|phase=/);
  for (const text of ['k=0&b=1', 'k=400', 'k=400&b=-1', 'k=x&b=1', 'k=1e9&b=1'])
    expect(readPlace(text).gains).toBeUndefined();
  // they are one joint’s
  expect(readPlace('joint=knee', place).gains).toEqual(place.gains);
  expect(readPlace('joint=ankle', place).gains).toBeUndefined();
});

test('what is not understood falls back', () => {
  expect(readPlace('#page=nowhere&joint=elbow&at=400')).toEqual({
    page: 'demand',
    joint: 'ankle',
    percent: 50,
    laid: [],
    method: 'latch',
  });
  const kept = {
    page: 'evidence',
    task: 'a',
    joint: 'hip',
    percent: 3,
    laid: ['b'],
    method: 'plane',
  } as const;
  expect(readPlace('', kept)).toEqual(kept);
  expect(readPlace('#page=drive', kept)).toEqual({ ...kept, page: 'drive' });
});

test('a link followed right after a move is not written over by the place of the move', () => {
  vi.useFakeTimers();
  const location = { hash: '' };
  const heard: (() => void)[] = [];
  vi.stubGlobal('location', location);
  vi.stubGlobal('history', { replaceState: (_: null, __: string, hash: string) => (location.hash = hash) });
  vi.stubGlobal('localStorage', { setItem: () => undefined });
  vi.stubGlobal('addEventListener', (_: string, listener: () => void) => heard.push(listener));
  const places: unknown[] = [];
  followAddress((hash) => places.push(readPlace(hash)));
  const moved = { page: 'demand', joint: 'ankle', percent: 51, laid: [], method: 'latch' } as const;

  keepPlace(moved);
  vi.advanceTimersByTime(200);
  expect(location.hash).toBe('#page=demand&joint=ankle&at=51');

  keepPlace({ ...moved, percent: 52 });
  location.hash = '#joint=knee&at=20.5';
  // the timer comes before the event, which a browser may do
  vi.advanceTimersByTime(200);
  expect(location.hash).toBe('#joint=knee&at=20.5');
  for (const listener of heard) listener();
  expect(places).toEqual([{ page: 'demand', joint: 'knee', percent: 20.5, laid: [], method: 'latch' }]);
});
