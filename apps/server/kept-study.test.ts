import {
  cpSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { StudyPayload } from '@striderule/wire';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { type KeptStudy, keepStudy } from './kept-study.ts';

let folder: string;
let kept: KeptStudy;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'striderule-kept-'));
  cpSync(path.join(import.meta.dirname, '../../examples/tern'), folder, { recursive: true });
  kept = keepStudy(folder);
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const wearer = () => path.join(folder, 'wearers/w01.yaml');
const read = async (): Promise<StudyPayload> => JSON.parse((await kept()).text);
const massNow = async () => (await read()).input.wearer.mass;

test('it is read once while nothing changes, also by those who ask at once', async () => {
  // a reading says when it was: the same text is the same reading
  const [one, two] = await Promise.all([kept(), kept()]);
  expect(two).toBe(one);
  expect(await kept()).toBe(one);
});

test('a file of the same size and time with another content is another study', async () => {
  const before = await read();
  const text = readFileSync(wearer(), 'utf8');
  const { atime, mtime } = statSync(wearer());
  writeFileSync(wearer(), text.replace('82 kg', '83 kg'));
  utimesSync(wearer(), atime, mtime);
  const after = await read();
  expect([before.input.wearer.mass, after.input.wearer.mass]).toEqual([82, 83]);
  expect(after.state).not.toBe(before.state);
  // a save by rename too
  writeFileSync(`${wearer()}.new`, text.replace('82 kg', '84 kg'));
  utimesSync(`${wearer()}.new`, atime, mtime);
  renameSync(`${wearer()}.new`, wearer());
  expect(await massNow()).toBe(84);
});

test('a fault is not kept: mended, the study is there again', async () => {
  const text = readFileSync(wearer(), 'utf8');
  writeFileSync(wearer(), text.replace('82 kg', '82 m'));
  await expect(kept()).rejects.toThrow('is a length');
  await expect(kept()).rejects.toThrow('is a length');
  writeFileSync(wearer(), text);
  expect(await massNow()).toBe(82);
});
