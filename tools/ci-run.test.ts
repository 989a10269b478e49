import { spawnSync } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { ROOT } from './run-tool.ts';

let stubs: string;

// The real script; only npm and the tools it would install are stood in for, so that it neither installs nor tests.
beforeAll(() => {
  stubs = mkdtempSync(path.join(tmpdir(), 'striderule-ci-'));
  for (const [name, text] of [
    ['npm', 'printf "%b" "$NPM_SAYS"; echo "CI is $CI"; exit "$NPM_EXIT"'],
    ['chromium-headless-shell', 'exit 0'],
    ['cc', 'exit 0'],
  ] as const) {
    writeFileSync(path.join(stubs, name), `#!/bin/sh\n${text}\n`);
    chmodSync(path.join(stubs, name), 0o755);
  }
});
afterAll(() => rmSync(stubs, { recursive: true, force: true }));

function ci(
  says: string,
  exit: number,
): { readonly code: number | null; readonly last: string; readonly all: string } {
  const { status, stdout } = spawnSync('bash', [path.join(ROOT, '.ci/run')], {
    encoding: 'utf8',
    env: {
      ...process.env,
      PATH: `${stubs}${path.delimiter}${process.env.PATH}`,
      NPM_SAYS: says,
      NPM_EXIT: String(exit),
    },
  });
  return { code: status, last: stdout.trimEnd().split('\n').at(-1)!, all: stdout };
}

const HERE = process.platform === 'win32' ? test.skip : test;

HERE.each([
  ['all pass', '3 passed, 0 failed, 0 skipped\\n', 0, '3 passed, 0 failed', 0],
  ['one fails', '2 passed, 1 failed, 0 skipped\\n', 1, '2 passed, 1 failed', 1],
  ['one is skipped', '2 passed, 0 failed, 1 skipped\\n', 1, '2 passed, 1 failed', 1],
  ['a skip that npm let pass', '2 passed, 0 failed, 1 skipped\\n', 0, '2 passed, 1 failed', 1],
  ['no count at all', 'npm error\\n', 7, '0 passed, 1 failed', 7],
  ['no count although npm is content', 'nothing\\n', 0, '0 passed, 1 failed', 1],
  ['a count, then npm fails', '3 passed, 0 failed, 0 skipped\\n', 1, '3 passed, 0 failed', 1],
])('%s', (_, says, exit, last, code) => {
  const ran = ci(says, exit);
  expect(ran.last).toBe(last);
  expect(ran.code).toBe(code);
  expect(ran.all).toContain('CI is true');
});
