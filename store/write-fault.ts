import path from 'node:path';
import { Fault } from '@striderule/engine';

/** Why the system refused to write `file`, as a fault. What is on disk is the old file: callers keep that promise. */
export function writeFault(error: unknown, file: string): Fault {
  if (error instanceof Fault) return error;
  const { code, message } = error as NodeJS.ErrnoException;
  const folder = path.dirname(file);
  const place = { file };
  switch (code) {
    case 'EACCES':
    case 'EPERM':
    case 'EROFS':
      return new Fault({
        code: 'store.read-only-folder',
        what: `nothing may be written in ${folder} (${code}); what stood there is untouched`,
        mend: 'Ask for the right to write in that folder, or copy the study to a folder of your own',
        place,
      });
    case 'ENOSPC':
    case 'EDQUOT':
    case 'EFBIG':
      return new Fault({
        code: 'store.disk-full',
        what: `the disk has no room for it (${code}); what stood there is untouched`,
        mend: 'Free some space, or raise the quota, and save again',
        place,
      });
    case 'ENOENT':
    case 'ENOTDIR':
      return new Fault({
        code: 'store.no-folder',
        what: `there is no folder ${folder}`,
        mend: 'Make the folder first, or correct the path',
        place,
      });
    case 'EISDIR':
      return new Fault({
        code: 'store.is-a-folder',
        what: 'a folder of this name stands in the way',
        mend: 'Rename the folder, or save under another name',
        place,
      });
    default:
      return new Fault({
        code: 'store.write-failed',
        what: `it could not be written: ${message ?? String(error)}; what stood there is untouched`,
        mend: 'Look at the disk and at the path, then save again',
        place,
      });
  }
}
