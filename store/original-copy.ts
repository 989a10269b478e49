import { type FileHandle, open, rename, rm } from 'node:fs/promises';
import path from 'node:path';
import { HOST_TAG } from './process-identity.ts';
import { writeFault } from './write-fault.ts';

/** A copy that grows under a name no reader looks at, until it is whole. */
export interface OriginalCopy {
  readonly write: (bytes: Uint8Array) => Promise<void>;
  /** Flushes it and gives it its name. */
  readonly keep: () => Promise<void>;
  /** Leaves nothing behind; after `keep` it does nothing. */
  readonly drop: () => Promise<void>;
}

let copies = 0;

/** Copies a recording while it is read, so that what is kept is what was read. The name is that of an atomic save's file. */
export async function copyOriginal(target: string): Promise<OriginalCopy> {
  const stem = path.basename(target).slice(0, 60);
  const temporary = path.join(
    path.dirname(target),
    `.${stem}.${HOST_TAG}-${process.pid}-${++copies}.striderule-tmp`,
  );
  const fail = (error: unknown): never => {
    throw writeFault(error, target);
  };
  const file: FileHandle = await open(temporary, 'wx').catch(fail);
  let isOpen = true;
  let there = true;
  const close = async () => {
    if (isOpen) await file.close();
    isOpen = false;
  };
  return {
    async write(bytes) {
      for (let done = 0; done < bytes.length; ) {
        done += (await file.write(bytes, done, bytes.length - done).catch(fail)).bytesWritten;
      }
    },
    async keep() {
      try {
        await file.sync();
        await close();
        await rename(temporary, target);
        there = false;
      } catch (error) {
        fail(error);
      }
    },
    async drop() {
      await close();
      if (there) await rm(temporary, { force: true });
      there = false;
    },
  };
}
