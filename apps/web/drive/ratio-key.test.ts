import { expect, test } from 'vitest';
import { LARGEST_RATIO, LEAST_RATIO, onSlide } from '../design/live-ratio.ts';
import { ratioKey } from './ratio-key.ts';

test('arrows move by a tenth, with Shift and page keys by one, Home and End to the ends; other keys are left alone', () => {
  expect(ratioKey('ArrowRight', false, 22)).toBeCloseTo(22.1, 12);
  expect(ratioKey('ArrowLeft', true, 22)).toBe(21);
  expect(ratioKey('PageDown', false, 22)).toBe(21);
  expect(ratioKey('PageUp', true, 22)).toBe(23);
  expect([ratioKey('Home', false, 9), ratioKey('End', false, 9)]).toEqual([LEAST_RATIO, LARGEST_RATIO]);
  expect(ratioKey('Tab', false, 22)).toBeUndefined();
});

test('the slide goes by tenths and not past its ends', () => {
  expect([onSlide(18.04), onSlide(18.06), onSlide(1), onSlide(900)]).toEqual([
    18,
    18.1,
    LEAST_RATIO,
    LARGEST_RATIO,
  ]);
});
