import { lstatSync, realpathSync } from 'node:fs';
import path from 'node:path';
import { Fault } from '@striderule/engine';

/**
 * The absolute path of a file that a study names, `relative` to its `folder` and written with `/` on every system.
 * The file need not exist. A path that leaves the folder is a fault `store.path-leaves-study`, however it does so:
 * absolute, a drive, a `\`, a `..`, a NUL, or a link that leads outside or nowhere.
 */
export function resolveInside(folder: string, relative: string): string {
  const reason = leavesByName(relative);
  if (reason !== undefined) throw leaves(relative, reason);
  const home = realpathSync(folder);
  const wanted = path.resolve(folder, relative);
  // the deepest part that exists, every link followed
  for (let at = wanted; ; at = path.dirname(at)) {
    const real = realOf(at);
    if (real === 'dangling') throw leaves(relative, 'a link in it leads nowhere');
    if (real === undefined) continue;
    if (real !== home && !real.startsWith(home.endsWith(path.sep) ? home : home + path.sep)) {
      throw leaves(relative, 'a link in it leads outside');
    }
    return wanted;
  }
}

function leavesByName(relative: string): string | undefined {
  if (relative === '') return 'it is empty';
  if (relative.includes('\0')) return 'it holds a NUL character';
  if (relative.includes('\\')) return 'it holds a backslash';
  if (/^[A-Za-z]:/.test(relative)) return 'it names a drive';
  if (relative.startsWith('/')) return 'it is absolute';
  if (relative.split('/').includes('..')) return 'it goes up with `..`';
  return undefined;
}

function realOf(at: string): string | 'dangling' | undefined {
  try {
    return realpathSync(at);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ELOOP') return 'dangling';
    if (code === 'ENOTDIR') return undefined;
    if (code !== 'ENOENT') throw error;
    return lstatSync(at, { throwIfNoEntry: false }) === undefined ? undefined : 'dangling';
  }
}

function leaves(relative: string, reason: string): Fault {
  return new Fault({
    code: 'store.path-leaves-study',
    what: `the path ${JSON.stringify(relative)} leaves the study: ${reason}`,
    mend: 'Copy the file into the study and name it from there, with / between folders',
  });
}
