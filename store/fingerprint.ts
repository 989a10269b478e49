import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { Fault } from '@striderule/engine';

/**
 * JSON with one text for one value: keys sorted by code unit, no blanks, every number in the shortest form that reads
 * back to the same bits, −0 apart from 0. A field that is `undefined` is a field left out. What has no exact JSON
 * (NaN, infinity, `undefined` in a list, functions, class instances other than Float64Array, circles) is a fault
 * `store.no-fingerprint`.
 */
export function canonicalJson(value: unknown): string {
  return write(value, [], []);
}

/** SHA-256, hex, of the value's canonical JSON. */
export function fingerprint(value: unknown): string {
  return fingerprintOfBytes(canonicalJson(value));
}

/** SHA-256, hex, of bytes, or of text as UTF-8. */
export function fingerprintOfBytes(data: string | Uint8Array): string {
  return createHash('sha256').update(data).digest('hex');
}

/** SHA-256, hex, of a file, read as a stream: recordings may be larger than memory. */
export async function fingerprintOfFile(file: string, signal?: AbortSignal): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(file, { signal })) hash.update(chunk as Buffer);
  return hash.digest('hex');
}

function write(value: unknown, at: readonly (string | number)[], above: readonly object[]): string {
  if (value === null || typeof value === 'boolean' || typeof value === 'string') return JSON.stringify(value);
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw refused(at, `${value} is not a number that can be compared`);
    return Object.is(value, -0) ? '-0' : String(value);
  }
  if (typeof value !== 'object') throw refused(at, `a value of type ${typeof value} has no JSON`);
  if (above.includes(value)) throw refused(at, 'the value holds itself');
  const inside = [...above, value];
  if (Array.isArray(value) || value instanceof Float64Array) {
    // Array.from, since map would skip holes
    return `[${Array.from(value as ArrayLike<unknown>, (item, k) => write(item, [...at, k], inside)).join(',')}]`;
  }
  const shape = Object.getPrototypeOf(value);
  if (shape !== Object.prototype && shape !== null) {
    throw refused(at, `a ${shape.constructor?.name ?? 'class'} has no JSON`);
  }
  const fields = Object.entries(value).filter(([, field]) => field !== undefined);
  fields.sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${fields.map(([key, field]) => `${JSON.stringify(key)}:${write(field, [...at, key], inside)}`).join(',')}}`;
}

function refused(at: readonly (string | number)[], what: string): Fault {
  return new Fault({
    code: 'store.no-fingerprint',
    what: `${what}, so what it belongs to has no fingerprint`,
    mend: 'Leave the field out where the value is unknown',
    place: { path: at.join('.') },
  });
}
