import { afterAll, beforeAll, expect, test } from 'vitest';
import { importApart, type Large, largeRecording } from './test-large-recording.ts';

let large: Large;
beforeAll(() => {
  large = largeRecording(1e9);
});
afterAll(() => large.remove());

test('a CSV of 1 GB is imported in one pass within 400 MB', async () => {
  const { strides, peak, text } = await importApart(large);
  console.log(text);
  expect(strides).toBe(large.strides - 1);
  expect(peak).toBeLessThan(400e6);
});
