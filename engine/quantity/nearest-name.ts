/**
 * Edits (insert, delete, replace, swap of two neighbours) that turn one word into another: the commonest slips of the hand,
 * Damerau, Communications of the ACM 7 (1964) 171; restricted form, no letter edited twice.
 */
export function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min(next[j - 1]! + 1, row[j]! + 1, row[j - 1]! + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        least = Math.min(least, before[j - 2]! + 1);
      next[j] = least;
    }
    before = row;
    row = next;
  }
  return row[b.length]!;
}

/** The known name that a misspelt one most likely meant; undefined where none is close. */
export function nearestName(wrong: string, known: readonly string[]): string | undefined {
  let best: string | undefined;
  let least = Math.max(1, Math.ceil(wrong.length / 3)) + 0.5;
  for (const name of known) {
    const d =
      editDistance(wrong.toLowerCase(), name.toLowerCase()) +
      (wrong.toLowerCase() === name.toLowerCase() ? 0 : 0.25);
    if (d < least) {
      least = d;
      best = name;
    }
  }
  return best;
}
