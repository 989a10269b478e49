import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { FaultData } from '@striderule/engine';

/** Largest hand-written file that is read; a recording has its own, streamed, way in. */
const LARGEST = 4 * 2 ** 20;

/** The text of a file of the study, or the fault that kept it from being read. `name` is relative to the folder, with `/`. */
export function readText(folder: string, name: string): { text: string | null; faults: FaultData[] } {
  const place = { file: name };
  try {
    const path = join(folder, name);
    if (statSync(path).size > LARGEST) {
      return {
        text: null,
        faults: [
          {
            code: 'store.too-large',
            what: 'this file is larger than 4 MB',
            mend: 'Keep recordings in CSV and name them from a task',
            place,
          },
        ],
      };
    }
    const bytes = readFileSync(path);
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return { text, faults: [] };
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    const what =
      code === 'ENOENT'
        ? 'there is no such file'
        : code === 'EACCES' || code === 'EPERM'
          ? 'this file may not be read by you'
          : error instanceof TypeError
            ? 'this file is not UTF-8 text'
            : `this file cannot be read (${code ?? String(error)})`;
    const mend =
      code === 'ENOENT'
        ? 'Create it, or correct the name that points to it'
        : error instanceof TypeError
          ? 'Save it as UTF-8'
          : 'Give yourself permission to read it';
    return { text: null, faults: [{ code: 'store.cannot-read', what, mend, place }] };
  }
}

/** Names of the files in a folder of the study with this ending, sorted; none where the folder is not there. */
export function listFiles(folder: string, sub: string, ending: string): string[] {
  try {
    return readdirSync(join(folder, sub), { withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith(ending) && !entry.name.startsWith('.'))
      .map((entry) => `${sub}/${entry.name}`)
      .sort();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
    throw error;
  }
}
