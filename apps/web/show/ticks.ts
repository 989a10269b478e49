/**
 * Round numerals for a scale: the largest count of multiples of 1, 2, 2.5 or 5 × 10^n that lie in [low, high] and number at most `most`;
 * zero is always one of them where it is inside.
 */
export function numerals(low: number, high: number, most: number): number[] {
  if (!(high > low)) return [];
  const decade = 10 ** Math.floor(Math.log10((high - low) / most));
  for (const factor of [1, 2, 2.5, 5, 10, 20, 25, 50]) {
    const step = factor * decade;
    const first = Math.ceil(low / step - 1e-9);
    const last = Math.floor(high / step + 1e-9);
    if (last - first + 1 <= most)
      return Array.from({ length: last - first + 1 }, (_, k) => (first + k) * step);
  }
  return [];
}

/** Limits that hold every finite value, zero, and a little air. */
export function limitsOf(values: Iterable<number>): { low: number; high: number } {
  let low = 0;
  let high = 0;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (low === high) return { low: -1, high: 1 };
  const air = 0.04 * (high - low);
  return { low: low - (low < 0 ? air : 0), high: high + (high > 0 ? air : 0) };
}

/** One engraved tick of the stride axis: 2 on tens, 1 on fives, 0 between. */
export interface StrideTick {
  readonly percent: number;
  readonly rank: 0 | 1 | 2;
}

/** Ticks of 0–100 %: each per cent where that leaves 6 px or more, else every second one and the odd fives. */
export function strideTicks(pixelsPerPercent: number): StrideTick[] {
  const each = pixelsPerPercent >= 6;
  return Array.from({ length: 101 }, (_, percent) => percent)
    .filter((percent) => each || percent % 2 === 0 || percent % 5 === 0)
    .map((percent) => ({ percent, rank: percent % 10 === 0 ? 2 : percent % 5 === 0 ? 1 : 0 }));
}
