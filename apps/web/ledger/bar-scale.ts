import type { LedgerRow } from '@striderule/engine';

/** px of a margin bar; the limit stands at the same place in every row. */
export const BAR = { width: 132, height: 20, limit: 88, perOctave: 34 };

/**
 * Place of a value on a margin bar, px: logarithmic in its ratio to the bound, so that one step means the same factor in every row.
 * Left of the limit is room, whichever way the bound points. ±∞ is a place too: what runs away, or has nothing of what is asked, lies beyond the
 * bar. Undefined where the ratio has no logarithm (another sign, no number).
 */
export function barPlace(bound: LedgerRow['requirement']['bound'], value: number): number | undefined {
  const ratio = bound.kind === 'at most' ? value / bound.value : bound.value / value;
  if (ratio === 0 || (bound.kind === 'at least' && value === Number.POSITIVE_INFINITY)) return 0;
  if (!(ratio > 0)) return undefined;
  return BAR.limit + BAR.perOctave * Math.log2(ratio);
}

/** Inside the bar, and whether it had to be drawn at the bar's end because it lies beyond. */
export function within(place: number): { x: number; beyond: boolean } {
  const x = Math.min(BAR.width - 3, Math.max(3, place));
  return { x, beyond: x !== place };
}
