import { type ChildProcess, spawn } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { onTestFinished } from 'vitest';
import { json } from './print.ts';
import { DEMO_STUDY } from './study-place.ts';

const COMMAND = path.join(import.meta.dirname, 'striderule.mjs');

/** What one run of the real command left behind. */
export interface Ran {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Starts `striderule` as a user would; `ended` waits for its end. */
export function start(args: readonly string[], cwd: string): { child: ChildProcess; ended: Promise<Ran> } {
  const child = spawn(process.execPath, [COMMAND, ...args], {
    cwd,
    env: { ...process.env, FORCE_COLOR: undefined },
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

/** Runs `striderule` to its end. */
export const striderule = (args: readonly string[], cwd: string = tmpdir()): Promise<Ran> =>
  start(args, cwd).ended;

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
