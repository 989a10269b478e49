import { type Spread, spreadDeviation } from '../quantity/spread.ts';

/** z at 95 %, so that ±z spans the 5th to the 95th percentile: NIST/SEMATECH e-Handbook, §1.3.6.7.1, 1.645. */
const Z95 = 1.6448536269514722;

export interface Interval {
  readonly low: number;
  readonly high: number;
  readonly level: 0.9;
  readonly method: 'linear propagation';
}

/**
 * 5th–95th percentile of f by linear propagation of independent spreads:
 *
 *     var f = Σ (∂f/∂x_i)²·s_i²,   ∂f/∂x_i·s_i ≈ [f(x_i + s_i) − f(x_i − s_i)]/2
 *
 * `at(spread, value)` is f with that one input at `value`. Exact for linear f. Null where no spread has any effect, or where f is
 * not a number at a shifted input: then the interval is unknown, not zero.
 */
export function propagated(
  nominal: number,
  spreads: readonly Spread[],
  at: (spread: Spread, value: number) => number,
): Interval | null {
  let variance = 0;
  for (const spread of spreads) {
    const s = spreadDeviation(spread);
    if (s === 0) continue;
    const effect = (at(spread, spread.nominal + s) - at(spread, spread.nominal - s)) / 2;
    variance += effect * effect;
  }
  if (!(variance > 0) || !Number.isFinite(nominal)) return null;
  const half = Z95 * Math.sqrt(variance);
  return { low: nominal - half, high: nominal + half, level: 0.9, method: 'linear propagation' };
}
