import { type ChildProcess, fork, spawn } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, onTestFinished } from 'vitest';
import { json } from './print.ts';
import { DEMO_STUDY } from './study-place.ts';

const COMMAND = path.join(import.meta.dirname, 'striderule.mjs');
const SHELL = new URL('./test-shell.mjs', import.meta.url);

/** What one run of the real command left behind. */
export interface Ran {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** As a script meets it: no colour, whatever the terminal of the tests. */
const PLAIN = { ...process.env, NO_COLOR: '1', FORCE_COLOR: undefined };

/** Starts `striderule` as a user would, in a process of its own; `ended` waits for its end. */
export function start(args: readonly string[], cwd: string): { child: ChildProcess; ended: Promise<Ran> } {
  const child = spawn(process.execPath, [COMMAND, ...args], {
    cwd,
    env: PLAIN,
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let stdout = '';
  let stderr = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    stdout += text;
  });
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  const ended = new Promise<Ran>((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => resolve({ code, stdout, stderr }));
  });
  return { child, ended };
}

/** The process that runs the commands of one test file: most of a command's second is the engine being loaded. */
let shell: ChildProcess | undefined;
let last: Promise<unknown> = Promise.resolve();
afterAll(() => shell?.disconnect());

function inShell(args: readonly string[], cwd: string): Promise<Ran> {
  shell ??= fork(SHELL, { env: PLAIN, stdio: 'inherit' });
  const child = shell;
  return new Promise((resolve, reject) => {
    const ended = (code: number | null) => {
      shell = undefined;
      reject(new Error(`striderule ${args.join(' ')} ended the process that ran it, with ${code}`));
    };
    child.once('exit', ended);
    child.once('message', (ran: Ran) => {
      child.off('exit', ended);
      resolve(ran);
    });
    child.send({ args, cwd });
  });
}

/** Runs `striderule` to its end: one command after another in one process, by the very function that the entry calls. */
export function striderule(args: readonly string[], cwd: string = tmpdir()): Promise<Ran> {
  const ran = last.then(() => inShell(args, cwd));
  last = ran.catch(() => undefined);
  return ran;
}

/** As `--json` hands it on. */
export const asJson = (value: unknown): unknown => JSON.parse(json(value));

/** A folder that is gone when the test is. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'striderule-cli-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** A copy of the demo study to break and to change. */
export function copyOfDemo(): string {
  const folder = path.join(temporaryFolder(), 'tern');
  cpSync(DEMO_STUDY, folder, { recursive: true, filter: (name) => path.basename(name) !== 'results' });
  return folder;
}
