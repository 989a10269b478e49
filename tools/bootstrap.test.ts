import { spawnSync } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
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

test.each(['start', 'test'])(
  'npm %s installs by itself, although .npmrc forbids scripts before it',
  (name) => {
    for (const file of [
      'tools/start.mjs',
      'tools/test.mjs',
      'tools/build-page.mjs',
      'tools/compile.mjs',
      '.npmrc',
    ]) {
      copyFileSync(path.join(ROOT, file), path.join(clone, file));
    }
    const { scripts } = JSON.parse(readFileSync(path.join(ROOT, 'package.json'), 'utf8'));
    const about = { name: 'empty', version: '1.0.0', private: true, scripts };
    writeFileSync(path.join(clone, 'package.json'), JSON.stringify(about));
    // what comes after the install lacks the rest of the clone here, and ends with an error
    const { stderr } = spawnSync('npm', [name], {
      cwd: clone,
      encoding: 'utf8',
      shell: process.platform === 'win32',
    });
    expect(stderr).toContain('Installing packages');
    expect(stderr).toMatch(/ERR_MODULE_NOT_FOUND|ENOENT/);
    expect(existsSync(stamp())).toBe(true);
  },
);
