import { mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { ROOT, runNode } from './run-tool.ts';

let folder: string;

const FILES = {
  'good.test.ts': "test('good', () => {});\ntest('also good', () => {});",
  'bad.test.ts': "test('bad', () => { throw new Error('no'); });",
  'skipped.test.ts': "test('good', () => {});\ntest.skip('browser (no Chromium here)', () => {});",
  'broken.test.ts': "import './nowhere.ts';\ntest('never', () => {});",
  'hook.test.ts': "beforeAll(() => { throw new Error('no'); });\ntest('never', () => {});",
  'unhandled.test.ts': "test('good', () => { void Promise.reject(new Error('nobody waits')); });",
};

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'striderule-runner-'));
  symlinkSync(path.join(ROOT, 'node_modules'), path.join(folder, 'node_modules'), 'dir');
  for (const [name, text] of Object.entries(FILES)) {
    writeFileSync(
      path.join(folder, name),
      `import { beforeAll, test } from 'vitest';\nvoid beforeAll;\n${text}\n`,
    );
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const runner = (names: readonly string[], env: NodeJS.ProcessEnv) =>
  runNode([path.join(ROOT, 'tools/test.mjs'), ...names], { cwd: folder, env: { CI: undefined, ...env } });
const lastLine = (text: string): string => text.trimEnd().split('\n').at(-1)!;

test('all pass: the count alone on the last line, exit 0', async () => {
  const { code, stdout } = await runner(['good.test'], {});
  expect(lastLine(stdout)).toBe('2 passed, 0 failed, 0 skipped');
  expect(code).toBe(0);
});

test.each([
  ['a failing test', 'bad.test', '0 passed, 1 failed, 0 skipped'],
  ['a file that does not load', 'broken.test', '0 passed, 1 failed, 0 skipped'],
  ['an error that nobody handled', 'unhandled.test', '1 passed, 1 failed, 0 skipped'],
])('%s counts as a failure, exit 1', async (_, name, line) => {
  const { code, stdout } = await runner([name], {});
  expect(lastLine(stdout)).toBe(line);
  expect(code).toBe(1);
});

test('a hook that throws fails the run although no test of it failed', async () => {
  const { code, stdout } = await runner(['hook.test'], {});
  expect(lastLine(stdout)).toMatch(/^0 passed, 1 failed, [01] skipped$/);
  expect(code).toBe(1);
});

test('a skip is counted with its reason; with CI=true it fails the run', async () => {
  const here = await runner(['skipped.test'], {});
  expect(here.stdout).toContain('skipped.test.ts: browser (no Chromium here)');
  expect(lastLine(here.stdout)).toBe('1 passed, 0 failed, 1 skipped');
  expect(here.code).toBe(0);

  const ci = await runner(['skipped.test'], { CI: 'true' });
  expect(ci.stdout).toContain('CI=true allows no skipped test: the run fails.');
  expect(lastLine(ci.stdout)).toBe('1 passed, 0 failed, 1 skipped');
  expect(ci.code).toBe(1);
});

test('no test at all is no success', async () => {
  expect((await runner(['nothing-has-this-name'], {})).code).toBe(1);
});
