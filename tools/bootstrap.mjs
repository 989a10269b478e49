// Makes `npm start` and `npm test` work on a fresh clone of a bare machine: installs the packages when they are
// missing or the lock file has changed, and otherwise returns at once. Node built-ins only, since nothing else is
// there yet. What it has installed is remembered in node_modules/.striderule-stamp.
//
// start.mjs and test.mjs import it first. A `prestart` script would not do: `ignore-scripts` in .npmrc, which keeps
// packages from running code while they are installed, keeps npm from running it too.

import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const lockFile = path.join(root, 'package-lock.json');
const stamp = path.join(root, 'node_modules', '.striderule-stamp');
const mutex = path.join(root, '.install.lock');
const MOST_WAIT_MS = 15 * 60_000; // longer than any install we have seen, by far

/** Node 20 from 20.19, or 22.12 and later: what the packages of the lock file ask for. */
function nodeServes([major, minor]) {
  return (major === 20 && minor >= 19) || (major === 22 && minor >= 12) || major > 22;
}

if (!nodeServes(process.versions.node.split('.').map(Number))) {
  console.error(
    `Striderule needs Node 20.19 or a later 20, or 22.12 and newer; this is ${process.version}. Install one of them and try again.`,
  );
  process.exit(1);
}

/** Lock file, platform and binary interface: when one of them changes, the packages must be installed again. */
function fingerprint() {
  return createHash('sha256')
    .update(existsSync(lockFile) ? readFileSync(lockFile) : '')
    .update(`${process.platform}-${process.arch}-${process.versions.modules}`)
    .digest('hex');
}

const installed = () => existsSync(stamp) && readFileSync(stamp, 'utf8') === fingerprint();

if (!installed()) {
  holdMutex();
  try {
    // another run may have done it while we waited; an exit code, since process.exit would leave the mutex behind
    if (!installed()) process.exitCode = install();
  } finally {
    rmSync(mutex, { recursive: true, force: true });
  }
  if (process.exitCode) process.exit();
}

/** Two commands at once: a folder can be made only once, so the second waits here until the first is done. */
function holdMutex() {
  const start = Date.now();
  let told = false;
  for (;;) {
    try {
      mkdirSync(mutex);
      writeFileSync(path.join(mutex, 'pid'), String(process.pid));
      return;
    } catch (error) {
      if (error.code !== 'EEXIST') {
        console.error(`Cannot write in ${root}: ${error.message}. The packages are installed there.`);
        process.exit(1);
      }
    }
    if (leftByAKilledRun()) {
      // rename succeeds for one of the waiting runs only
      const aside = `${mutex}.${process.pid}`;
      try {
        renameSync(mutex, aside);
        rmSync(aside, { recursive: true, force: true });
      } catch {}
      continue;
    }
    if (!told) console.error('Another command is installing the packages; waiting for it.');
    told = true;
    if (Date.now() - start > MOST_WAIT_MS) {
      console.error(`Another install holds ${mutex}. Remove that folder if none is running.`);
      process.exit(1);
    }
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 250);
  }
}

function leftByAKilledRun() {
  try {
    const text = readFileSync(path.join(mutex, 'pid'), 'utf8');
    if (text === '') return false;
    process.kill(Number(text), 0); // signal 0 asks only whether it lives
    return false;
  } catch (error) {
    if (error.code === 'ESRCH') return true;
    // made, but its pid not yet written: give it time, but not for ever
    return error.code === 'ENOENT' && existsSync(mutex) && Date.now() - statSync(mutex).mtimeMs > 10_000;
  }
}

/** Installs and gives the exit code. */
function install() {
  console.error('Installing packages (first start, or the lock file changed) …');
  let status = npm(['ci']);
  if (status !== 0) {
    // a mirror may lack another platform's optional builds: then `ci` refuses the lock and `install` still works
    if (process.env.STRIDERULE_LOCKED === '1') {
      console.error('npm ci refused, and STRIDERULE_LOCKED=1 forbids an install that is not locked.');
      return status ?? 1;
    }
    console.error('npm ci refused; trying npm install, which is NOT locked and leaves the lock file alone …');
    status = npm(['install', '--no-package-lock']);
  }
  if (status !== 0) {
    console.error('The packages could not be installed; npm says why above. Is the registry within reach?');
    return status ?? 1;
  }
  writeFileSync(stamp, fingerprint());
  return 0;
}

/** Runs the npm that runs us (npm_execpath), or the one on the path under plain `node`. Its output goes to stderr. */
function npm(args) {
  const ours = process.env.npm_execpath;
  return spawnSync(
    ours ? process.execPath : 'npm',
    [...(ours ? [ours] : []), ...args, '--no-audit', '--no-fund', '--loglevel=error'],
    {
      cwd: root,
      stdio: ['ignore', 2, 2],
      env: environment(),
      shell: !ours && process.platform === 'win32',
    },
  ).status;
}

/** Settings of the outer npm command that would leave packages out of the inner one. */
function environment() {
  const kept = { ...process.env };
  for (const name of Object.keys(kept)) {
    if (
      /^npm_(config_(ignore_scripts|omit|production|workspaces?|include|dry_run)|lifecycle|package)/i.test(
        name,
      )
    ) {
      delete kept[name];
    }
  }
  delete kept.NODE_ENV;
  return kept;
}
