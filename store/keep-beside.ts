import { open, rm } from 'node:fs/promises';
import { writeFault } from './write-fault.ts';

/** Keeps `data` as `<file>.<ending>`, or as the first of `-2`, `-3`, … that is free, flushed; gives its path. */
export async function keepBeside(file: string, ending: string, data: string | Uint8Array): Promise<string> {
  for (let k = 1; ; k++) {
    const beside = `${file}.${ending}${k === 1 ? '' : `-${k}`}`;
    try {
      const handle = await open(beside, 'wx'); // never over what is there
      try {
        await handle.writeFile(data);
        await handle.sync();
      } catch (error) {
        await rm(beside, { force: true });
        throw error;
      } finally {
        await handle.close();
      }
      return beside;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw writeFault(error, beside);
    }
  }
}
