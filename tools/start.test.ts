import { type ChildProcess, spawn } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, expect, test } from 'vitest';
import { ROOT, runNode } from './run-tool.ts';

const START = path.join(ROOT, 'tools/start.mjs');
const running: ChildProcess[] = [];
const folders: string[] = [];

afterEach(() => {
  for (const child of running.splice(0)) child.kill('SIGKILL');
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

/** Starts a program and waits until it has printed the page's address. */
async function serving(
  args: readonly string[],
  env: NodeJS.ProcessEnv = {},
): Promise<{ child: ChildProcess; url: string; ended: Promise<number | string | null> }> {
  const child = spawn(process.execPath, args, {
    cwd: ROOT,
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  running.push(child);
  const ended = new Promise<number | string | null>((resolve) => {
    child.on('exit', (code, signal) => resolve(signal ?? code));
  });
  let printed = '';
  const url = await new Promise<string>((resolve, reject) => {
    const look = (text: Buffer): void => {
      printed += text.toString();
      const found = /The page is at (\S+)/.exec(printed);
      if (found) resolve(found[1]!);
    };
    child.stdout!.on('data', look);
    child.stderr!.on('data', look);
    child.on('exit', () => reject(new Error(`ended before it served: ${printed}`)));
  });
  return { child, url, ended };
}

const answers = (url: string): Promise<boolean> =>
  fetch(url).then(
    () => true,
    () => false,
  );

test('--once prints the ledger of the demo study and ends with 0', async () => {
  const { code, stdout } = await runNode([START, '--once'], { cwd: tmpdir() });
  expect(code).toBe(0);
  expect(stdout).toMatch(/^\d+ requirements: /);
  expect(stdout).toContain('DEMO DATA');
});

test('a folder is meant from where the command was typed', async () => {
  const place = mkdtempSync(path.join(tmpdir(), 'striderule-start-'));
  folders.push(place);
  cpSync(path.join(ROOT, 'examples/tern'), path.join(place, 'mine'), { recursive: true });
  const { code, stdout } = await runNode([START, '--once', 'mine'], { env: { INIT_CWD: place } });
  expect({ code, first: stdout.split('\n')[0] }).toEqual({
    code: 0,
    first: expect.stringMatching(/requirements: /),
  });

  const about = path.join(place, 'mine/study.yaml');
  writeFileSync(about, `${readFileSync(about, 'utf8')}\nunknown-field: 1\n`);
  const broken = await runNode([START, '--once', 'mine'], { env: { INIT_CWD: place } });
  expect(broken.code).toBe(1);
  expect(broken.stdout).toBe('');
  expect(broken.stderr).toMatch(/study\.yaml:\d+:\d+ .*unknown-field/);
});

test('what is not understood ends with 2', async () => {
  for (const args of [['--twice'], ['a', 'b'], ['--port', 'x']]) {
    const { code, stderr } = await runNode([START, ...args]);
    expect(code).toBe(2);
    expect(stderr).toContain('npm start [-- [--once]');
  }
});

test.each(['SIGTERM', 'SIGINT'] as const)(
  'serves in its own process until %s, then ends with 0',
  async (signal) => {
    const { child, url, ended } = await serving([START]);
    expect(new URL(url).hostname).toBe('127.0.0.1');
    expect(await answers(url)).toBe(true);
    child.kill(signal);
    expect(await ended).toBe(0);
    expect(await answers(url)).toBe(false);
  },
);

test('a port that is taken is said in one line, exit 1', async () => {
  const other = createServer();
  const port = await new Promise<number>((resolve) => {
    other.listen(0, '127.0.0.1', () => resolve((other.address() as { port: number }).port));
  });
  const { code, stderr } = await runNode([START, '--port', String(port)]);
  other.close();
  expect(code).toBe(1);
  expect(stderr).toContain(
    `Port ${port} is taken. Stop what uses it, or choose another: npm start -- --port 0`,
  );
});

test('stops by itself when the npm that started it is killed', async () => {
  // stands for npm: starts the server and is killed without a chance to tell it
  const npm = `const c = require('node:child_process').spawn(process.execPath, [${JSON.stringify(START)}], { stdio: 'inherit' }); c.on('exit', () => process.exit());`;
  const { child, url } = await serving(['-e', npm], { npm_lifecycle_event: 'start' });
  expect(await answers(url)).toBe(true);
  child.kill('SIGKILL');
  await expect.poll(() => answers(url), { timeout: 10_000, interval: 250 }).toBe(false);
});
