import { copyFileSync, existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { ROOT, runNode } from './run-tool.ts';

let clone: string;

/** A clone without packages to install, so that the install itself is quick and needs no network. */
beforeEach(() => {
  clone = mkdtempSync(path.join(tmpdir(), 'striderule-bootstrap-'));
  mkdirSync(path.join(clone, 'tools'));
  copyFileSync(path.join(ROOT, 'tools/bootstrap.mjs'), path.join(clone, 'tools/bootstrap.mjs'));
  const about = { name: 'empty', version: '1.0.0' };
  writeFileSync(path.join(clone, 'package.json'), JSON.stringify({ ...about, private: true }));
  writeFileSync(
    path.join(clone, 'package-lock.json'),
    JSON.stringify({ ...about, lockfileVersion: 3, requires: true, packages: { '': about } }),
  );
  mkdirSync(path.join(clone, 'node_modules'));
});
afterEach(() => rmSync(clone, { recursive: true, force: true }));

const bootstrap = () => runNode(['tools/bootstrap.mjs'], { cwd: clone });
const stamp = () => path.join(clone, 'node_modules/.striderule-stamp');
const mutex = () => path.join(clone, '.install.lock');

test('two at once: one installs, the other waits, and a third returns at once', async () => {
  const both = await Promise.all([bootstrap(), bootstrap()]);
  expect(both.map(({ code }) => code)).toEqual([0, 0]);
  expect(both.filter(({ stderr }) => stderr.includes('Installing packages'))).toHaveLength(1);
  expect(existsSync(stamp())).toBe(true);
  expect(existsSync(mutex())).toBe(false);

  const third = await bootstrap();
  expect(third).toEqual({ code: 0, stdout: '', stderr: '' });
});

test('a changed lock file installs again', async () => {
  await bootstrap();
  const about = { name: 'empty', version: '1.0.1' };
  writeFileSync(path.join(clone, 'package.json'), JSON.stringify({ ...about, private: true }));
  writeFileSync(
    path.join(clone, 'package-lock.json'),
    JSON.stringify({ ...about, lockfileVersion: 3, requires: true, packages: { '': about } }),
  );
  expect((await bootstrap()).stderr).toContain('Installing packages');
});

test('the mutex of a killed run does not block the next', async () => {
  const killed = await runNode(['-p', 'process.pid']);
  mkdirSync(mutex());
  writeFileSync(path.join(mutex(), 'pid'), killed.stdout.trim());
  const { code, stderr } = await bootstrap();
  expect(code).toBe(0);
  expect(stderr).toContain('Installing packages');
  expect(existsSync(mutex())).toBe(false);
});

test('an install that fails says so and leaves no stamp', async () => {
  writeFileSync(path.join(clone, 'package.json'), '{ "name": "empty", ');
  const { code, stderr } = await bootstrap();
  expect(code).not.toBe(0);
  expect(stderr).toContain('The packages could not be installed; npm says why above.');
  expect(existsSync(stamp())).toBe(false);
  expect(existsSync(mutex())).toBe(false);
});
