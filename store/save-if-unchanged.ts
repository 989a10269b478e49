import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { Fault } from '@striderule/engine';
import { writeFileAtomic } from './atomic-write.ts';
import { fingerprintOfBytes } from './fingerprint.ts';
import { resolveInside } from './inside.ts';
import { keepBeside } from './keep-beside.ts';
import { withStudyLock } from './study-lock.ts';

/**
 * Saves a file of the study if it is still what was read: `expected` is the SHA-256 of what was read, null where there
 * was no such file. If it changed in between, the file on disk stays, what was to be saved goes beside it as
 * `<file>.mine` (or `.mine-2`, …: nothing is written over), and fault `store.changed-on-disk` names both. Gives the
 * new SHA-256.
 */
export async function saveIfUnchanged(
  folder: string,
  file: string,
  expected: string | null,
  data: string | Uint8Array,
): Promise<string> {
  const target = resolveInside(folder, file);
  return withStudyLock(folder, async () => {
    const now = await readFile(target).then(fingerprintOfBytes, (error: NodeJS.ErrnoException) => {
      if (error.code === 'ENOENT') return null;
      throw error;
    });
    if (now !== expected) {
      const beside = await keepBeside(target, 'mine', data);
      throw new Fault({
        code: 'store.changed-on-disk',
        what: `this file was ${now === null ? 'deleted' : 'changed on disk'} since it was read, so it was not saved over; your version is in ${path.basename(beside)}`,
        mend: 'Compare the two, keep what you want in the first and delete the second',
        place: { file },
      });
    }
    await writeFileAtomic(target, data);
    return fingerprintOfBytes(data);
  });
}
