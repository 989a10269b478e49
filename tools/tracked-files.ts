import { spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import path from 'node:path';
import { ROOT } from './run-tool.ts';

const LEFT_OUT = new Set(['node_modules', '.git', '.tsbuild', 'dist', 'coverage', 'results', 'screenshots']);

/** Files of the repository, relative to its root: what git tracks, or all that is not built where there is no git. */
export function trackedFiles(): readonly string[] {
  const git = spawnSync('git', ['ls-files', '-z'], { cwd: ROOT, encoding: 'utf8' });
  if (git.status === 0) return git.stdout.split('\0').filter((name) => name !== '');
  const walk = (folder: string): string[] =>
    readdirSync(path.join(ROOT, folder), { withFileTypes: true }).flatMap((entry) => {
      if (LEFT_OUT.has(entry.name)) return [];
      const inside = path.posix.join(folder, entry.name);
      return entry.isDirectory() ? walk(inside) : [inside];
    });
  return walk('');
}
