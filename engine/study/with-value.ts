import { Fault } from '../quantity/fault.ts';
import { nearestName } from '../quantity/nearest-name.ts';

/** The same record with one number at `path` (dots between keys) replaced; all else is shared, nothing is written in place. */
export function withValue<T extends object>(record: T, path: string, value: number): T {
  return replaced(record, path.split('.'), 0, value);
}

function replaced<T extends object>(record: T, keys: readonly string[], depth: number, value: number): T {
  const key = keys[depth];
  const inner = Object.hasOwn(record, key) ? (record as Record<string, unknown>)[key] : undefined;
  const last = depth === keys.length - 1;
  if (last ? typeof inner !== 'number' : typeof inner !== 'object' || inner === null) {
    const known = Object.keys(record);
    const near = nearestName(key, known);
    throw new Fault({
      code: 'study.no-number-at-path',
      what: `There is no number at \`${keys.join('.')}\``,
      mend:
        near !== undefined && near !== key
          ? `Did you mean \`${[...keys.slice(0, depth), near, ...keys.slice(depth + 1)].join('.')}\`?`
          : `\`${key}\` must be one of: ${known.join(', ')}`,
    });
  }
  return { ...record, [key]: last ? value : replaced(inner as object, keys, depth + 1, value) };
}

/** The number or word at `path`; undefined where there is none. */
export function valueAt(record: object, path: string): number | string | undefined {
  const found = path
    .split('.')
    .reduce<unknown>(
      (at, key) =>
        typeof at === 'object' && at !== null && Object.hasOwn(at, key)
          ? (at as Record<string, unknown>)[key]
          : undefined,
      record,
    );
  return typeof found === 'number' || typeof found === 'string' ? found : undefined;
}
