/** One run of lines that differ. Lines count from 1; endings are not part of a line. */
export interface LineChange {
  /** First differing line. */
  readonly line: number;
  readonly before: readonly string[];
  readonly after: readonly string[];
}

/** What an edit changed, from the first line that differs to the last; null where nothing did. */
export function lineDiff(before: string, after: string): LineChange | null {
  if (before === after) return null;
  const [a, b] = [before.split('\n'), after.split('\n')];
  const shorter = Math.min(a.length, b.length);
  let head = 0;
  while (head < shorter && a[head] === b[head]) head++;
  let tail = 0;
  while (tail < shorter - head && a[a.length - 1 - tail] === b[b.length - 1 - tail]) tail++;
  return { line: head + 1, before: a.slice(head, a.length - tail), after: b.slice(head, b.length - tail) };
}
