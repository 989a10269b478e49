import { cpSync, mkdirSync, mkdtempSync, renameSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { faultText } from '@striderule/engine';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { checkStudy, openStudy } from './open-study.ts';

let home: string;
let folder: string;
beforeEach(() => {
  home = mkdtempSync(path.join(tmpdir(), 'striderule-read-'));
  folder = path.join(home, 'tern');
  cpSync(fileURLToPath(new URL('../examples/tern', import.meta.url)), folder, { recursive: true });
});
afterEach(() => rmSync(home, { recursive: true, force: true }));

const leaves = (file: string, how: string) =>
  `${file}: the path "${file}" leaves the study: ${how}. Copy the file into the study and name it from there, with / between folders.`;

test('a study names a leg outside itself', async () => {
  cpSync(path.join(folder, 'legs', 'tern.yaml'), path.join(home, 'outside.yaml'));
  writeFileSync(path.join(folder, 'study.yaml'), 'name: x\nformat: 2\nleg: ../../outside\nwearer: w01\n');
  expect((await checkStudy(folder)).map(faultText)).toEqual([
    leaves('legs/../../outside.yaml', 'it goes up with `..`'),
  ]);
  await expect(openStudy(folder, { leg: 'tern', wearer: '/etc/../etc/hostname' })).rejects.toThrow(
    'leaves the study',
  );
});

test('a study whose folder of wearers is a link to elsewhere', async () => {
  mkdirSync(path.join(home, 'elsewhere'));
  renameSync(path.join(folder, 'wearers'), path.join(home, 'elsewhere', 'wearers'));
  symlinkSync('../elsewhere/wearers', path.join(folder, 'wearers'));
  expect((await checkStudy(folder)).map(faultText)).toEqual([
    leaves('wearers/w01.yaml', 'a link in it leads outside'),
  ]);
});
