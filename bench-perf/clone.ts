import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

const ROOT = path.dirname(import.meta.dirname);

function timed(command: string, args: readonly string[], cwd: string): number {
  const start = performance.now();
  const { status, stderr } = spawnSync(command, args, {
    cwd,
    encoding: 'utf8',
    shell: process.platform === 'win32',
  });
  if (status !== 0) throw new Error(`${command} ${args.join(' ')} ended with ${status}: ${stderr}`);
  return (performance.now() - start) / 1000;
}

/**
 * A fresh clone to its first ledger, the install apart since it is mostly download. Must reach: 60 s after download.
 * What is committed is cloned; changes in the tree are not in it.
 */
export function cloneTime(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'striderule-clone-'));
  try {
    const clone = timed('git', ['clone', '--quiet', ROOT, 'clone'], folder);
    const inside = path.join(folder, 'clone');
    const install = timed(process.execPath, ['tools/bootstrap.mjs'], inside);
    const first = timed('npm', ['start', '--silent', '--', '--once'], inside);
    const second = timed('npm', ['start', '--silent', '--', '--once'], inside);
    return [
      'Fresh clone to first ledger (must reach 60 s after download)',
      `  git clone                       ${clone.toFixed(1)} s`,
      `  install (download included)     ${install.toFixed(1)} s`,
      `  npm start -- --once, first      ${first.toFixed(1)} s`,
      `  npm start -- --once, again      ${second.toFixed(1)} s`,
    ].join('\n');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
