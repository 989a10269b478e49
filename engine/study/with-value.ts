import { Fault } from '../quantity/fault.ts';

/** The same record with one number at `path` (dots between keys) replaced; all else is shared, nothing is written in place. */
export function withValue<T extends object>(record: T, path: string, value: number): T {
  const [key = '', ...rest] = path.split('.');
  const inner = (record as Record<string, unknown>)[key];
  if (rest.length === 0 ? typeof inner !== 'number' : typeof inner !== 'object' || inner === null) {
    throw new Fault({
      code: 'study.no-number-at-path',
      what: `There is no number at \`${path}\``,
      mend: `Name one of: ${Object.keys(record).join(', ')}`,
    });
  }
  return { ...record, [key]: rest.length === 0 ? value : withValue(inner as object, rest.join('.'), value) };
}

/** The number at `path`; undefined where there is none. */
export function valueAt(record: object, path: string): number | string | undefined {
  const found = path
    .split('.')
    .reduce<unknown>(
      (at, key) => (typeof at === 'object' && at !== null ? (at as Record<string, unknown>)[key] : undefined),
      record,
    );
  return typeof found === 'number' || typeof found === 'string' ? found : undefined;
}
