import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { Fault, type FaultData } from '@striderule/engine';
import { resolveInside } from './inside.ts';

/** Largest hand-written file that is read; a recording has its own, streamed, way in. */
const LARGEST = 4 * 2 ** 20;

/** A file as read: its text and the SHA-256 of its bytes, or the fault that kept it from being read. */
export interface ReadText {
  readonly text: string | null;
  readonly sha256: string | null;
  readonly faults: FaultData[];
}

const unread = (name: string, code: string, what: string, mend: string): ReadText => ({
  text: null,
  sha256: null,
  faults: [{ code: `store.${code}`, what, mend, place: { file: name } }],
});

/** The text of a file of the study. `name` is relative to the folder, with `/`; it may not lead out of the folder. */
export function readText(folder: string, name: string): ReadText {
  try {
    const path = resolveInside(folder, name);
    if (statSync(path).size > LARGEST) {
      return unread(
        name,
        'too-large',
        'this file is larger than 4 MB',
        'Keep recordings in CSV and name them from a task',
      );
    }
    const bytes = readFileSync(path);
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return { text, sha256: createHash('sha256').update(bytes).digest('hex'), faults: [] };
  } catch (error) {
    if (error instanceof Fault)
      return unread(name, 'path-leaves-study', error.faults[0]!.what, error.faults[0]!.mend);
    if (error instanceof TypeError)
      return unread(name, 'cannot-read', 'this file is not UTF-8 text', 'Save it as UTF-8');
    const [what, mend] = unreadable(error);
    return unread(name, 'cannot-read', what, mend);
  }
}

function unreadable(error: unknown): [what: string, mend: string] {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'ENOENT' || code === 'ENOTDIR')
    return ['there is no such file', 'Create it, or correct the name that points to it'];
  if (code === 'EACCES' || code === 'EPERM')
    return ['this file may not be read by you', 'Give yourself permission to read it'];
  if (code === 'EISDIR') return ['this is a folder, not a file', 'Move it away, and put the file here'];
  return [`this file cannot be read (${code ?? String(error)})`, 'Check the disk and the permissions'];
}

/**
 * Names of the files in a folder of the study with this ending, sorted, links included; none where the folder is not there.
 * Faults: a folder that may not be listed.
 */
export function listFiles(folder: string, sub: string, ending: string): string[] {
  try {
    return readdirSync(join(folder, sub), { withFileTypes: true })
      .filter((entry) => (entry.isFile() || entry.isSymbolicLink()) && entry.name.endsWith(ending))
      .filter((entry) => !entry.name.startsWith('.'))
      .map((entry) => (sub === '.' ? entry.name : `${sub}/${entry.name}`))
      .sort();
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT') return [];
    throw new Fault({
      code: 'store.cannot-list',
      what: code === 'ENOTDIR' ? 'this is a file, not a folder' : `this folder cannot be listed (${code})`,
      mend:
        code === 'ENOTDIR' ? 'Move it away: a folder belongs here' : 'Give yourself permission to read it',
      place: { file: sub },
    });
  }
}
