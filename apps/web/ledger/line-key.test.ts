import { expect, test } from 'vitest';
import { lineKey } from './line-key.ts';

test('keys lead from line to line and stop at the ends', () => {
  expect(lineKey('ArrowDown', 3, 20)).toBe(4);
  expect(lineKey('ArrowUp', 3, 20)).toBe(2);
  expect(lineKey('PageDown', 3, 20)).toBe(13);
  expect(lineKey('PageUp', 13, 20)).toBe(3);
  expect(lineKey('Home', 13, 20)).toBe(0);
  expect(lineKey('End', 13, 20)).toBe(19);
  expect(lineKey('ArrowUp', 0, 20)).toBe(0);
  expect(lineKey('ArrowDown', 19, 20)).toBe(19);
  expect(lineKey('PageDown', 15, 20)).toBe(19);
  expect(lineKey('PageUp', 4, 20)).toBe(0);
});

test('any other key is left to the browser', () => {
  for (const key of ['Enter', ' ', 'Tab', 'ArrowLeft', 'a']) expect(lineKey(key, 3, 20)).toBeUndefined();
});
