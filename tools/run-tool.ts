import { spawn } from 'node:child_process';
import path from 'node:path';

/** The clone's root. */
export const ROOT = path.dirname(import.meta.dirname);

/** What a program left behind: its exit code (or the signal that ended it) and all it wrote. */
export interface Outcome {
  readonly code: number | NodeJS.Signals | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs Node with these arguments and waits for its end. */
export function runNode(
  args: readonly string[],
  { cwd = ROOT, env = {} }: { readonly cwd?: string; readonly env?: NodeJS.ProcessEnv } = {},
): Promise<Outcome> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, args, {
      cwd,
      env: { ...process.env, NO_COLOR: '1', FORCE_COLOR: undefined, ...env },
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
    child.on('error', reject);
    child.on('close', (code, signal) => resolve({ code: signal ?? code, stdout, stderr }));
  });
}
