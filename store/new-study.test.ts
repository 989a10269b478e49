import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { createStudy } from './new-study.ts';

let place: string;
let template: string;

beforeEach(() => {
  place = mkdtempSync(path.join(tmpdir(), 'striderule-new-'));
  template = path.join(place, 'template');
  mkdirSync(path.join(template, 'legs'), { recursive: true });
  mkdirSync(path.join(template, 'results'));
  writeFileSync(path.join(template, 'study.yaml'), '# kept\nname: Tern\nnotice: demo data\n');
  writeFileSync(path.join(template, 'legs/tern.yaml'), 'name: Tern\n');
  writeFileSync(path.join(template, 'results/x.json'), '{}');
});
afterEach(() => rmSync(place, { recursive: true, force: true }));

test('copies what people decided, not what was derived, and names the study', async () => {
  const folder = path.join(place, 'above', 'my-leg');
  expect(await createStudy({ folder, template })).toEqual(['legs/tern.yaml', 'study.yaml']);
  expect(readFileSync(path.join(folder, 'study.yaml'), 'utf8')).toBe(
    '# kept\nname: "my-leg"\nnotice: demo data\n',
  );
  expect(readFileSync(path.join(folder, 'legs/tern.yaml'), 'utf8')).toBe('name: Tern\n');
});

test('an empty folder is taken; one with something in it is refused and left as it is', async () => {
  const folder = path.join(place, 'empty');
  mkdirSync(folder);
  await createStudy({ folder, template });
  expect(existsSync(path.join(folder, 'study.yaml'))).toBe(true);

  const full = path.join(place, 'full');
  mkdirSync(full);
  writeFileSync(path.join(full, 'mine.txt'), 'mine');
  await expect(createStudy({ folder: full, template })).rejects.toThrow(
    `${full} already has something in it, and nothing there is overwritten. Choose a folder that is empty or not there yet.`,
  );
  await expect(createStudy({ folder: path.join(full, 'mine.txt'), template })).rejects.toThrow(
    'already has something',
  );
  expect(readdirSync(full)).toEqual(['mine.txt']);
});

test('a template that cannot be read leaves nothing behind', async () => {
  rmSync(path.join(template, 'study.yaml'));
  await expect(createStudy({ folder: path.join(place, 'new'), template })).rejects.toThrow('ENOENT');
  expect(readdirSync(place)).toEqual(['template']);
});
