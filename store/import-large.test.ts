import { afterAll, beforeAll, expect, test } from 'vitest';
import { importApart, type Large, largeRecording } from './test-large-recording.ts';

let large: Large;
beforeAll(() => {
  large = largeRecording(30e6);
});
afterAll(() => large.remove());

test('30 MB of strides are read in bounded memory', async () => {
  const { strides, grown, text } = await importApart(large);
  console.log(text);
  // the last stride has no row that closes it
  expect(strides).toBe(large.strides - 1);
  // two buffers, one stride and what the collector has not yet taken back: not the file, and no table of its numbers
  expect(grown).toBeLessThan(120e6);
});
