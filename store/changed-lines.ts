/** One line that differs: what stood there, or nothing where it is new; what stands there now, or nothing where it is gone. */
export interface ChangedLine {
  /** Counted from 1 in the text as it was; a new line has the number of the one it comes before. */
  readonly line: number;
  readonly before?: string;
  readonly after?: string;
}

/** More lines than this between the first and the last that differ are compared as one block. */
const MOST_LINES = 2000;

/**
 * Lines that an edit changed, took out or put in, in order: all but a longest common subsequence, length L(i, j) of
 * the rest from lines i and j on,
 *
 *     L(i, j) = 1 + L(i+1, j+1)                 where the lines are the same
 *     L(i, j) = max(L(i+1, j), L(i, j+1))       where they differ
 */
export function changedLines(before: string, after: string): ChangedLine[] {
  const [a, b] = [before.split('\n'), after.split('\n')];
  let head = 0;
  while (head < Math.min(a.length, b.length) && a[head] === b[head]) head++;
  let tail = 0;
  while (tail < Math.min(a.length, b.length) - head && a[a.length - 1 - tail] === b[b.length - 1 - tail])
    tail++;
  const old = a.slice(head, a.length - tail);
  const made = b.slice(head, b.length - tail);
  const width = made.length + 1;
  const small = old.length <= MOST_LINES && made.length <= MOST_LINES;
  const common = new Int32Array(small ? (old.length + 1) * width : 0);
  if (small)
    for (let i = old.length - 1; i >= 0; i--)
      for (let j = made.length - 1; j >= 0; j--)
        common[i * width + j] =
          old[i] === made[j]
            ? 1 + common[(i + 1) * width + j + 1]!
            : Math.max(common[(i + 1) * width + j]!, common[i * width + j + 1]!);
  const changes: ChangedLine[] = [];
  let gone: string[] = [];
  let come: string[] = [];
  let from = head;
  const close = (next: number) => {
    // a line that goes and one that comes in its place are one change
    for (let k = 0; k < Math.max(gone.length, come.length); k++) {
      const [was, is] = [gone[k], come[k]];
      changes.push({
        line: from + Math.min(k, gone.length) + 1,
        ...(was !== undefined && { before: was }),
        ...(is !== undefined && { after: is }),
      });
    }
    [gone, come, from] = [[], [], next];
  };
  let [i, j] = [0, 0];
  while (i < old.length || j < made.length) {
    if (small && i < old.length && j < made.length && old[i] === made[j]) {
      close(head + ++i);
      j++;
    } else if (
      i < old.length &&
      (j === made.length || !small || common[(i + 1) * width + j]! >= common[i * width + j + 1]!)
    )
      gone.push(old[i++]!);
    else come.push(made[j++]!);
  }
  close(0);
  return changes;
}
