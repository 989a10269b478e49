import { existsSync, readdirSync, rmSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { fingerprintOfFile } from './fingerprint.ts';
import { readRecipe } from './recipe-file.ts';
import { strideOfRecording } from './recording-stride.ts';
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

test('a large recording is read once: then its stride is a derived result, which may be deleted', async () => {
  const { recipe } = await readRecipe(large.recipe);
  const from = { outside: large.csv, sha256: await fingerprintOfFile(large.csv), recipe };
  const kept = path.join(large.study, 'results/recording');
  const first = await strideOfRecording(large.study, 'large', 'Large', from);
  expect(readdirSync(kept)).toHaveLength(1);
  expect(await strideOfRecording(large.study, 'large', 'Large', from)).toEqual(first);
  rmSync(kept, { recursive: true });
  expect(await strideOfRecording(large.study, 'large', 'Large', from)).toEqual(first);
  expect(existsSync(kept)).toBe(true);
  await expect(
    strideOfRecording(large.study, 'large', 'Large', { ...from, sha256: '0'.repeat(64) }),
  ).rejects.toThrow('is not the one that was imported');
});
