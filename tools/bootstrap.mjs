// Makes `npm start` and `npm test` work on a fresh clone. Node built-ins only.

import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, rmdirSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const [maj, min] = process.versions.node.split('.').map(Number);
if (maj < 20 || (maj === 20 && min < 19)) {
  console.error(`Needs Node 20.19 or newer; this is ${process.version}.`);
  process.exit(1);
}

const lock = path.join(root, 'package-lock.json');
const stamp = path.join(root, 'node_modules', '.striderule-stamp');
const want = createHash('sha256')
  .update(existsSync(lock) ? readFileSync(lock) : '')
  .update(`${process.platform}-${process.arch}-${process.versions.modules}`)
  .digest('hex');
const fresh = () => existsSync(stamp) && readFileSync(stamp, 'utf8') === want;

if (!fresh()) {
  const mutex = path.join(root, '.install.lock'); // two commands at once: the second waits
  const t0 = Date.now();
  for (;;) {
    try {
      mkdirSync(mutex);
      break;
    } catch (e) {
      if (e.code !== 'EEXIST') throw e;
      if (Date.now() - statSync(mutex).mtimeMs > 15 * 60_000) {
        rmdirSync(mutex);
        continue;
      } // left by a killed run
      if (Date.now() - t0 > 15 * 60_000) {
        console.error(`Another install holds ${mutex}; remove it if none runs.`);
        process.exit(1);
      }
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 250);
    }
  }
  try {
    if (!fresh()) {
      console.error('Installing packages (first start, or the lock file changed) ...');
      const npm = process.env.npm_execpath; // same npm that runs us; absent under plain `node`
      const run = (args) =>
        spawnSync(
          npm ? process.execPath : 'npm',
          [...(npm ? [npm] : []), ...args, '--no-audit', '--no-fund', '--loglevel=error'],
          {
            cwd: root,
            stdio: ['ignore', 2, 2],
            env: cleanEnv(),
            shell: !npm && process.platform === 'win32',
          },
        ).status;
      // a mirror may lack another platform's optional builds: then `ci` refuses the lock and `install` still works
      let rc = run(['ci']);
      if (rc !== 0) {
        console.error('npm ci refused; trying npm install without touching the lock file ...');
        rc = run(['install', '--no-package-lock']);
      }
      if (rc !== 0) process.exit(rc ?? 1);
      writeFileSync(stamp, want);
    }
  } finally {
    rmdirSync(mutex);
  }
}
function cleanEnv() {
  const e = { ...process.env };
  for (const k of Object.keys(e))
    if (
      /^npm_(config_(ignore_scripts|omit|production|workspaces?|include|dry_run)|lifecycle|package)/i.test(k)
    )
      delete e[k];
  delete e.NODE_ENV;
  return e;
}
