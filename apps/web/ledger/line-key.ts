/** Lines that Page Up and Page Down go. Our choice: about half of what a page shows. */
const PAGE = 10;

/** Line of `of` that a key leads to from line `at`; undefined where the key is none of those that lead anywhere. */
export function lineKey(key: string, at: number, of: number): number | undefined {
  const to = {
    ArrowUp: at - 1,
    ArrowDown: at + 1,
    PageUp: at - PAGE,
    PageDown: at + PAGE,
    Home: 0,
    End: of - 1,
  }[key];
  return to === undefined ? undefined : Math.max(0, Math.min(of - 1, to));
}
