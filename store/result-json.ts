// JSON for derived results: it reads back to the same bits. JSON itself has no NaN, no infinity, no typed array and
// would make null of them, so they are written as { "$": … }: a missing number never becomes one.

import { Fault } from '@striderule/engine';

const TAG = '$';
const NAMED: Readonly<Record<string, number>> = {
  NaN: Number.NaN,
  Infinity,
  '-Infinity': -Infinity,
  '-0': -0,
};

/** Plain data, Float64Array and any number to JSON's own types. A field named `$` is a fault `store.reserved-field`. */
export function toPlain(value: unknown): unknown {
  if (typeof value === 'number') {
    return Number.isFinite(value) && !Object.is(value, -0)
      ? value
      : { [TAG]: Object.is(value, -0) ? '-0' : String(value) };
  }
  if (value instanceof Float64Array) return { [TAG]: 'Float64Array', values: Array.from(value, toPlain) };
  if (Array.isArray(value)) return value.map(toPlain);
  if (value === null || typeof value !== 'object') return value;
  if (TAG in value) {
    throw new Fault({
      code: 'store.reserved-field',
      what: 'a result has a field named `$`',
      mend: 'Give the field another name',
    });
  }
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, toPlain(item)]));
}

/** What `toPlain` was given. */
export function fromPlain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(fromPlain);
  if (value === null || typeof value !== 'object') return value;
  if (TAG in value) {
    const { [TAG]: tag, values } = value as { [TAG]: string; values?: unknown[] };
    if (tag === 'Float64Array') return Float64Array.from(values!, (item) => fromPlain(item) as number);
    return NAMED[tag];
  }
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, fromPlain(item)]));
}
