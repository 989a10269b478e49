import { expect, test } from 'vitest';
import { newArray, reusedArrays } from './reused-arrays.ts';

test('the k-th array after `again` is the k-th before it; within a round all are apart', () => {
  const { take, again } = reusedArrays();
  const first = [take(3), take(5), take(3)];
  expect(new Set(first).size).toBe(3);
  expect(first.map(({ length }) => length)).toEqual([3, 5, 3]);
  again();
  expect([take(3), take(5), take(3)].every((array, k) => array === first[k])).toBe(true);
});

test('another length, or one array more than ever, is a new array', () => {
  const { take, again } = reusedArrays();
  const three = take(3);
  again();
  const four = take(4);
  expect(four).toHaveLength(4);
  expect(three).toHaveLength(3);
  expect(take(2)).not.toBe(four);
  expect(newArray(2)).not.toBe(newArray(2));
});
