// A save that leaves the old file or the new one, whole, after a crash, kill -9 or power loss at any instant:
//
//   write .<name>.<host>-<pid>-<n>.striderule-tmp beside it   same folder, so the rename stays on one disk
//   fsync the temporary file                                  its bytes are on the disk before its name is
//   rename it over the target                                 POSIX: one step, readers see old or new
//   fsync the folder                                          the new name is on the disk too
//
// A killed save leaves its temporary file. The next save in that folder removes it: only files of exactly this name
// form, of this machine, and of a process that no longer runs.

import { lstat, open, readdir, realpath, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { Fault } from '@striderule/engine';
import { HOST_TAG, isAlive } from './process-identity.ts';
import { writeFault } from './write-fault.ts';

const TEMPORARY = /^\..+\.([0-9a-f]{8})-(\d+)-\d+\.striderule-tmp$/;
let saves = 0;

/**
 * Saves `data` as `file` so that at any instant the old content or the new one is there, whole. Keeps the mode of the
 * file and follows a link. Faults: `store.read-only-folder`, `store.read-only-file`, `store.disk-full`,
 * `store.no-folder`, `store.is-a-folder`, `store.write-failed`; after each the old file is untouched.
 */
export async function writeFileAtomic(file: string, data: string | Uint8Array): Promise<void> {
  let temporary: string | undefined;
  try {
    const target = await realpath(file).catch(() => path.resolve(file));
    const old = await stat(target).catch(() => undefined);
    if (old?.isDirectory()) throw Object.assign(new Error('is a folder'), { code: 'EISDIR' });
    if (old !== undefined) await refuseReadOnlyFile(target, file);
    const folder = path.dirname(target);
    await removeLeftovers(folder).catch(() => {}); // tidying must not keep a save from being made
    // file names end at 255 bytes on most disks
    const stem = path.basename(target).slice(0, 60);
    const name = path.join(folder, `.${stem}.${HOST_TAG}-${process.pid}-${++saves}.striderule-tmp`);
    const handle = await open(name, 'wx', 0o666);
    temporary = name;
    try {
      if (old !== undefined) await handle.chmod(old.mode & 0o7777);
      await handle.writeFile(data);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(temporary, target);
    temporary = undefined;
    await syncFolder(folder);
  } catch (error) {
    if (temporary !== undefined) await rm(temporary, { force: true }).catch(() => {});
    throw writeFault(error, file);
  }
}

/** A rename needs only the folder's rights; a file that someone made read-only is theirs to open again. */
async function refuseReadOnlyFile(target: string, file: string): Promise<void> {
  const handle = await open(target, 'r+').catch((error: NodeJS.ErrnoException) => {
    if (error.code !== 'EACCES' && error.code !== 'EPERM') throw error;
    throw new Fault({
      code: 'store.read-only-file',
      what: `this file is read-only (${error.code}); it is untouched`,
      mend: 'Make it writable, or save under another name',
      place: { file },
    });
  });
  await handle.close();
}

async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return; // a folder cannot be opened there; the rename is journalled
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

async function removeLeftovers(folder: string): Promise<void> {
  for (const name of await readdir(folder)) {
    const [, host, pid] = TEMPORARY.exec(name) ?? [];
    if (host !== HOST_TAG) continue;
    const leftover = path.join(folder, name);
    if (Number(pid) === process.pid ? await olderThanThisProcess(leftover) : !isAlive(Number(pid))) {
      await rm(leftover, { force: true });
    }
  }
}

/** A temporary file under our own process id that was there before we were: the id has been used again. */
async function olderThanThisProcess(leftover: string): Promise<boolean> {
  const start = Date.now() - process.uptime() * 1000;
  const found = await lstat(leftover).catch(() => undefined);
  return found !== undefined && found.mtimeMs < start;
}
