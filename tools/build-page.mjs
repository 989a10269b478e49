// The built page, made anew when a source is newer than it. Two at once (a start and a browser test, say) are safe: the
// second waits, and the page is built aside and put in place whole, so that a server never serves half of one.

import { spawnSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const dist = path.join(root, 'apps/web/dist');
const cache = path.join(root, 'node_modules/.cache');
const mutex = path.join(cache, 'striderule-page.lock');
const LONGEST_BUILD_MS = 120_000; // a build takes seconds; a lock that is older was left by a killed one

/** The folder of the built page, or undefined where the build failed; the build says why on standard error. */
export function buildPage() {
  if (upToDate()) return dist;
  mkdirSync(cache, { recursive: true });
  for (;;) {
    try {
      mkdirSync(mutex);
      break;
    } catch (error) {
      if (error.code !== 'EEXIST') throw error;
      const age = Date.now() - (statSync(mutex, { throwIfNoEntry: false })?.mtimeMs ?? Date.now());
      if (age > LONGEST_BUILD_MS) rmSync(mutex, { recursive: true, force: true });
      else Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 100);
    }
  }
  try {
    return upToDate() || build() ? dist : undefined;
  } finally {
    rmSync(mutex, { recursive: true, force: true });
  }
}

function build() {
  console.error('Building the page …');
  const made = path.join(cache, `striderule-page-${process.pid}`);
  const vite = path.join(root, 'node_modules/vite/bin/vite.js');
  const page = path.join(root, 'apps/web');
  const { status } = spawnSync(
    process.execPath,
    [vite, 'build', page, '--outDir', made, '--emptyOutDir', '--logLevel', 'warn'],
    { cwd: root, stdio: ['ignore', 2, 2], env: { ...process.env, NODE_ENV: 'production' } },
  );
  if (status === 0) {
    pack(made);
    const old = `${made}-old`;
    if (existsSync(dist)) renameSync(dist, old);
    renameSync(made, dist);
    rmSync(old, { recursive: true, force: true });
  }
  rmSync(made, { recursive: true, force: true });
  return status === 0;
}

/** Lays each text of `folder` beside itself compressed, so that the server, which reads `name.gz`, has nothing left to do. */
export function pack(folder) {
  for (const entry of readdirSync(folder, { withFileTypes: true, recursive: true })) {
    if (!/\.(js|css|html|svg)$/.test(entry.name)) continue;
    const file = path.join(entry.parentPath ?? entry.path, entry.name);
    writeFileSync(`${file}.gz`, gzipSync(readFileSync(file), { level: 9 }));
  }
}

function upToDate() {
  const page = path.join(dist, 'index.html');
  if (!existsSync(page)) return false;
  const sources = ['apps/web', 'engine', 'wire', 'package-lock.json'].map((name) =>
    newest(path.join(root, name)),
  );
  return statSync(page).mtimeMs >= Math.max(...sources);
}

/** When the newest source below `name` was changed; what is built and what only tests read is left out. */
function newest(name) {
  if (!statSync(name).isDirectory()) return statSync(name).mtimeMs;
  return readdirSync(name, { withFileTypes: true }).reduce((latest, entry) => {
    if (/^(dist|node_modules|e2e|coverage)$|\.test\.tsx?$/.test(entry.name)) return latest;
    return Math.max(latest, newest(path.join(name, entry.name)));
  }, 0);
}
