// Derived results: `<study>/results/<stage>/<fingerprint>.json`, where the fingerprint is that of the engine's version,
// the stage, the inputs' fingerprints by name and the seed. One JSON object:
//
//   header  format 1; stage; engineVersion; inputs { name: sha256 }; seed if chance was used; command that made it;
//           value: SHA-256 of the value's JSON text
//   value   the result (result-json.ts: NaN and typed arrays read back as they were)
//
// Valid when the header is the one asked for and the value has the fingerprint the header names. A file that is not
// (cut off, edited, of another format) is never used: it is computed anew and that is said. Written atomically. The
// folder may be deleted at any time, also while a command runs: a result that cannot be stored is still given.

import { mkdir, readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import { ENGINE_VERSION, Fault } from '@striderule/engine';
import { writeFileAtomic } from './atomic-write.ts';
import { canonicalJson, fingerprint, fingerprintOfBytes } from './fingerprint.ts';
import { resolveInside } from './inside.ts';
import { fromPlain, toPlain } from './result-json.ts';
import { type Made, stalenessText } from './staleness.ts';
import { writeFault } from './write-fault.ts';

const FORMAT = 1;

/** What a result is asked by. */
export interface ResultKey extends Pick<Made, 'inputs' | 'seed'> {
  /** Lower-case words, such as `drive`. */
  readonly stage: string;
}

export interface ResultHeader extends Made {
  readonly format: number;
  readonly stage: string;
  readonly command: string;
  readonly value: string;
}

/** A stored result, or why there is none: never made, or `broken` and not to be trusted. */
export type StoredResult =
  | { readonly state: 'fits'; readonly header: ResultHeader; readonly value: unknown }
  | { readonly state: 'none' }
  | { readonly state: 'broken'; readonly file: string; readonly why: string };

/** The stored result that fits the key to the last bit. */
export async function readResult(folder: string, key: ResultKey): Promise<StoredResult> {
  const file = fileOf(key);
  let text: string;
  try {
    text = await readFile(resolveInside(folder, file), 'utf8');
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT' || code === 'ENOTDIR') return { state: 'none' };
    throw error;
  }
  const read = parse(text);
  if (typeof read === 'string') return { state: 'broken', file, why: read };
  if (
    fingerprint(identity(read.header)) !== fingerprint(identity({ ...key, engineVersion: ENGINE_VERSION }))
  ) {
    return { state: 'broken', file, why: 'its header belongs to another result' };
  }
  return { state: 'fits', header: read.header, value: fromPlain(read.value) };
}

/** Stores a result under its key and gives its header. */
export async function writeResult(
  folder: string,
  key: ResultKey,
  command: string,
  value: unknown,
): Promise<ResultHeader> {
  const plain = JSON.stringify(toPlain(value));
  const header: ResultHeader = {
    format: FORMAT,
    ...identity({ ...key, engineVersion: ENGINE_VERSION }),
    command,
    value: fingerprintOfBytes(plain),
  };
  const target = resolveInside(folder, fileOf(key));
  await mkdir(path.dirname(target), { recursive: true }).catch((error) => {
    throw writeFault(error, target);
  });
  await writeFileAtomic(target, `{"header":${canonicalJson(header)},"value":${plain}}\n`);
  return header;
}

/**
 * The stored result, or the one `compute` gives, which is then stored. `say` hears in words when a stored one is
 * broken, when another of its stage is stale and through what, and when the new one could not be stored.
 */
export async function resultOf<T>(
  folder: string,
  key: ResultKey,
  command: string,
  compute: () => T | Promise<T>,
  say: (words: string) => void,
): Promise<T> {
  const stored = await readResult(folder, key);
  if (stored.state === 'fits') return stored.value as T;
  if (stored.state === 'broken') say(`${stored.file} is broken (${stored.why}) and is computed anew`);
  else {
    const near = await nearResult(folder, key);
    if (near !== undefined)
      say(`the stored ${key.stage} result is stale (${near.changed}) and is computed anew`);
  }
  const value = await compute();
  try {
    await writeResult(folder, key, command, value);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    say(`the ${key.stage} result could not be stored: ${error.faults[0]!.what}`);
  }
  return value;
}

/** A stored result that no longer fits, and what has changed since. */
export interface NearResult {
  readonly value: unknown;
  readonly changed: string;
}

/**
 * The stored result of this stage that differs from what is asked in the fewest ways, and in none of the inputs named in `same`; undefined where
 * there is none. A broken one is passed over.
 */
export async function nearResult(
  folder: string,
  key: ResultKey,
  same: readonly string[] = [],
): Promise<NearResult | undefined> {
  const sub = path.posix.dirname(fileOf(key));
  const names = await readdir(resolveInside(folder, sub)).catch(() => []);
  let nearest: NearResult | undefined;
  for (const name of names.sort()) {
    if (!name.endsWith('.json') || name.startsWith('.')) continue;
    const read = parse(await readFile(resolveInside(folder, `${sub}/${name}`), 'utf8').catch(() => ''));
    if (typeof read === 'string') continue;
    if (same.some((input) => read.header.inputs[input] !== key.inputs[input])) continue;
    const changed = stalenessText(read.header, key);
    if (nearest === undefined || changed.split('; ').length < nearest.changed.split('; ').length)
      nearest = { value: fromPlain(read.value), changed };
  }
  return nearest;
}

function fileOf(key: ResultKey): string {
  return `results/${key.stage}/${fingerprint(identity({ ...key, engineVersion: ENGINE_VERSION }))}.json`;
}

/** What makes a result this one and no other. */
function identity({ stage, engineVersion, inputs, seed }: ResultKey & Made) {
  return { stage, engineVersion, inputs, ...(seed !== undefined && { seed }) };
}

/** A file's header and value, or what is wrong with it. */
function parse(text: string): { header: ResultHeader; value: unknown } | string {
  let read: { header?: ResultHeader; value?: unknown };
  try {
    read = JSON.parse(text) as typeof read;
  } catch {
    return 'cut off, or no JSON';
  }
  const { header, value } = read;
  if (header === undefined || value === undefined) return 'without header or value';
  if (header.format !== FORMAT) return `of format ${header.format}`;
  if (header.value !== fingerprintOfBytes(JSON.stringify(value)))
    return 'its value was changed after it was made';
  return { header, value };
}
