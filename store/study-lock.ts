// One writer a study. The lock is `<study>/.striderule.lock`, JSON { pid, started, host, since, doing, nonce }, made
// with O_EXCL, which also holds on network disks (NFS 3 and later) and on sticks that know no links. It is advice:
// editors and git do not know it, which is why saveIfUnchanged looks at the file again before it replaces it.
//
// A lock whose process no longer runs on this machine is taken over; so is one without content after 10 s (killed
// between making and writing it). Takeover is itself guarded by an O_EXCL file, so that of two waiting processes the
// second cannot remove the lock the first has just made.

import { AsyncLocalStorage } from 'node:async_hooks';
import { randomUUID } from 'node:crypto';
import { open, readFile, realpath, rm, stat } from 'node:fs/promises';
import { hostname } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { Fault } from '@striderule/engine';
import { isAlive, startOf } from './process-identity.ts';
import { writeFault } from './write-fault.ts';

const LOCK = '.striderule.lock';
const POLL_MS = 25;
const UNWRITTEN_MS = 10_000; // far longer than making a file and writing a line to it takes

interface Holder {
  readonly pid: number;
  /** Start of the process in ticks since boot, where the system tells: process ids are used again. */
  readonly started: string | null;
  readonly host: string;
  /** When it took the lock, ISO 8601, UTC. */
  readonly since: string;
  readonly doing: string;
  readonly nonce: string;
}

export interface LockChoice {
  /** What the writer does, in words that the other one reads: `demand import`. */
  readonly doing?: string;
  /** How long to wait for another writer, ms; 3000 unless said. */
  readonly waitMs?: number;
}

const held = new AsyncLocalStorage<ReadonlySet<string>>();

/**
 * Runs `work` as the only writer of the study, and gives what it gives. Inside `work` the lock may be asked for again.
 * Another writer in this process or another, on this machine or another, is waited for and then named:
 * fault `store.study-locked`.
 */
export async function withStudyLock<T>(
  folder: string,
  work: () => Promise<T>,
  choice: LockChoice = {},
): Promise<T> {
  const home = await realpath(folder).catch((error) => {
    throw writeFault(error, path.join(folder, LOCK));
  });
  if (held.getStore()?.has(home)) return work();
  const file = path.join(home, LOCK);
  const me: Holder = {
    pid: process.pid,
    started: startOf(process.pid) ?? null,
    host: hostname(),
    since: new Date().toISOString(),
    doing: choice.doing ?? 'a save',
    nonce: randomUUID(),
  };
  await take(file, me, choice.waitMs ?? 3000);
  try {
    return await held.run(new Set([...(held.getStore() ?? []), home]), work);
  } finally {
    // not ours any more if somebody deleted it by hand and took it
    if ((await holderOf(file))?.nonce === me.nonce) await rm(file, { force: true });
  }
}

async function take(file: string, me: Holder, waitMs: number): Promise<void> {
  const end = Date.now() + waitMs;
  for (;;) {
    if (await makeNew(file, JSON.stringify(me))) return;
    if (await isLeftBehind(file)) await removeLeftBehind(file);
    else if (Date.now() >= end) throw lockedFault(file, await holderOf(file));
    else await sleep(POLL_MS);
  }
}

/** Makes the file if there is none. */
async function makeNew(file: string, text: string): Promise<boolean> {
  try {
    const handle = await open(file, 'wx');
    try {
      await handle.writeFile(text);
    } catch (error) {
      await rm(file, { force: true });
      throw error;
    } finally {
      await handle.close();
    }
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw writeFault(error, file);
  }
}

async function holderOf(file: string): Promise<Holder | undefined> {
  try {
    return JSON.parse(await readFile(file, 'utf8')) as Holder;
  } catch {
    return undefined; // gone, or made and not yet written
  }
}

async function isLeftBehind(file: string): Promise<boolean> {
  const holder = await holderOf(file);
  if (holder === undefined) return isOld(file);
  if (holder.host !== hostname()) return false; // nobody here can tell
  return !isAlive(holder.pid) || (holder.started !== null && startOf(holder.pid) !== holder.started);
}

async function isOld(file: string): Promise<boolean> {
  const found = await stat(file).catch(() => undefined);
  return found !== undefined && Date.now() - found.mtimeMs > UNWRITTEN_MS;
}

async function removeLeftBehind(file: string): Promise<void> {
  const guard = `${file}.takeover`;
  if (!(await makeNew(guard, String(process.pid)))) {
    // its maker was killed within the few instructions below
    if (await isOld(guard)) await rm(guard, { force: true });
    else await sleep(POLL_MS);
    return;
  }
  try {
    if (await isLeftBehind(file)) await rm(file, { force: true });
  } finally {
    await rm(guard, { force: true });
  }
}

function lockedFault(file: string, holder: Holder | undefined): Fault {
  const elsewhere = holder !== undefined && holder.host !== hostname();
  const who =
    holder === undefined
      ? 'another process'
      : `process ${holder.pid}${elsewhere ? ` on ${holder.host}` : ''}`;
  return new Fault({
    code: 'store.study-locked',
    what: `${who} is writing to this study${holder === undefined ? '' : ` since ${holder.since}: ${holder.doing}`}`,
    mend: elsewhere
      ? `Wait until it is done; if it no longer runs there, delete ${LOCK}`
      : 'Wait until it is done, or stop it, and try again',
    place: { file: path.dirname(file) },
  });
}
