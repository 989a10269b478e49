import { lstat, readdir } from 'node:fs/promises';
import path from 'node:path';
import { fingerprint } from '@striderule/store';

/** What each file of a study looks like from outside, by its name: another look means that it was changed. */
export type Looks = Readonly<Record<string, string>>;

/** Derived results, and what programs leave for themselves, are no part of what a study says. */
const LEFT_OUT = /^(results|node_modules)$|^\.|~$/;

/**
 * Looks at every file of the folder, without reading any. Node and size catch a save by rename, time and size one in
 * place. Asked anew each time: change notices of the system are not to be had on every disk, network disks above all.
 */
export async function looksOf(folder: string, below = ''): Promise<Looks> {
  const looks: Record<string, string> = {};
  const entries = await readdir(path.join(folder, below), { withFileTypes: true }).catch(() => []);
  for (const entry of entries) {
    if (LEFT_OUT.test(entry.name)) continue;
    const name = below === '' ? entry.name : `${below}/${entry.name}`;
    if (entry.isDirectory()) Object.assign(looks, await looksOf(folder, name));
    else {
      const seen = await lstat(path.join(folder, name), { bigint: true }).catch(() => undefined);
      if (seen !== undefined) looks[name] = `${seen.ino} ${seen.size} ${seen.mtimeNs} ${seen.ctimeNs}`;
    }
  }
  return looks;
}

/** One short text for all of them. */
export const stateOf = (looks: Looks): string => fingerprint(looks).slice(0, 16);

/** Names that differ between the two. */
export function changedFiles(before: Looks, after: Looks): string[] {
  const names = new Set([...Object.keys(before), ...Object.keys(after)]);
  return [...names].filter((name) => before[name] !== after[name]).sort();
}
