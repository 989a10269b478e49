import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { resolveInside } from './inside.ts';

let home: string;
let study: string;
beforeAll(() => {
  home = mkdtempSync(path.join(tmpdir(), 'striderule-inside-'));
  study = path.join(home, 'study');
  mkdirSync(path.join(study, 'legs'), { recursive: true });
  mkdirSync(path.join(home, 'study-2'));
  writeFileSync(path.join(study, 'legs', 'tern.yaml'), 'x');
  writeFileSync(path.join(home, 'study-2', 'secret.yaml'), 'x');
  symlinkSync('legs', path.join(study, 'same-legs'));
  symlinkSync('../study-2', path.join(study, 'other'));
  symlinkSync('../study-2/secret.yaml', path.join(study, 'secret.yaml'));
  symlinkSync('../study-2/not-there.yaml', path.join(study, 'nowhere.yaml'));
  symlinkSync('circle', path.join(study, 'circle'));
  symlinkSync(study, path.join(home, 'by-link'));
});
afterAll(() => rmSync(home, { recursive: true, force: true }));

test.each([
  'legs/tern.yaml',
  './legs/tern.yaml',
  'legs/new.yaml',
  'new/deep/file.csv',
  'same-legs/tern.yaml',
  '..leg.yaml',
  'legs/a..b',
  '%2e%2e/x',
])('%s stays inside', (relative) => {
  expect(resolveInside(study, relative)).toBe(path.join(study, relative));
});

test('a study that is itself reached through a link is its own inside', () => {
  const link = path.join(home, 'by-link');
  expect(resolveInside(link, 'legs/tern.yaml')).toBe(path.join(link, 'legs/tern.yaml'));
  expect(() => resolveInside(link, 'other/secret.yaml')).toThrow('a link in it leads outside');
});

test.each([
  ['', 'it is empty'],
  ['..', 'it goes up with `..`'],
  ['../study-2/secret.yaml', 'it goes up with `..`'],
  ['legs/../../study-2/secret.yaml', 'it goes up with `..`'],
  ['legs/../legs/tern.yaml', 'it goes up with `..`'],
  ['/etc/passwd', 'it is absolute'],
  ['//server/share', 'it is absolute'],
  ['C:/Windows', 'it names a drive'],
  ['c:tern.yaml', 'it names a drive'],
  ['..\\study-2', 'it holds a backslash'],
  ['\\\\server\\share', 'it holds a backslash'],
  ['legs/tern.yaml\0.png', 'it holds a NUL character'],
  ['other/secret.yaml', 'a link in it leads outside'],
  ['other/new.yaml', 'a link in it leads outside'],
  ['other', 'a link in it leads outside'],
  ['secret.yaml', 'a link in it leads outside'],
  ['nowhere.yaml', 'a link in it leads nowhere'],
  ['circle/x', 'a link in it leads nowhere'],
])('%j is refused: %s', (relative, reason) => {
  expect(() => resolveInside(study, relative)).toThrow(
    `the path ${JSON.stringify(relative)} leaves the study: ${reason}. Copy the file into the study and name it from there, with / between folders.`,
  );
});
