/** Paths of every number inside a record, each after `before`, such as `joints.knee.`; lists are not looked into. */
export function numberPaths(record: object, before = ''): string[] {
  return Object.entries(record).flatMap(([key, value]) =>
    typeof value === 'number'
      ? [before + key]
      : typeof value === 'object' && value !== null && !Array.isArray(value)
        ? numberPaths(value, `${before}${key}.`)
        : [],
  );
}
