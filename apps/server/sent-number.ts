import type { SentNumber } from '@striderule/wire';

/** For `JSON.stringify`: a number that has no JSON goes as a record that names it, so that what arrives is what was worked out. */
export function sentNumber(_: string, value: unknown): unknown {
  if (typeof value !== 'number' || (Number.isFinite(value) && !Object.is(value, -0))) return value;
  const sent: SentNumber = { number: (Object.is(value, -0) ? '-0' : String(value)) as SentNumber['number'] };
  return sent;
}
