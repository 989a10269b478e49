import { Fault } from '@striderule/engine';
import { type ResultKey, readResult, writeResult } from '@striderule/store';
import { say } from './print.ts';

/** The stored result that fits the key; one that was edited or cut off is said and not used. */
export async function storedResult(folder: string, key: ResultKey): Promise<unknown> {
  const found = await readResult(folder, key);
  if (found.state === 'broken') say(`${found.file} is broken (${found.why}) and is not used.`);
  return found.state === 'fits' ? found.value : undefined;
}

/** Stores each walk; a folder that takes none is told once, and the walk goes on. */
export function keeper(folder: string, command: string): (key: ResultKey, walk: unknown) => Promise<void> {
  let told = false;
  return async (key, walk) => {
    try {
      await writeResult(folder, key, command, walk);
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      if (!told) say(`Walks cannot be kept: ${error.faults[0]!.what}`);
      told = true;
    }
  };
}
