import { type Spread, spreadDeviation } from '../quantity/spread.ts';

/** z at 95 %, so that ±z spans the 5th to the 95th percentile: NIST/SEMATECH e-Handbook, §1.3.6.7.1, 1.645. */
const Z95 = 1.6448536269514722;

export interface Interval {
  readonly low: number;
  readonly high: number;
  readonly level: 0.9;
  readonly method: 'linear propagation';
}

export interface Propagation {
  /** Null where no spread has any effect, and where `unknownAt` says that it cannot be known. */
  readonly interval: Interval | null;
  /** Path of a spread at whose shifted value there is no number: the interval is then unknown, not narrow. */
  readonly unknownAt?: string;
}

/**
 * 5th–95th percentile of f by linear propagation of independent spreads:
 *
 *     var f = Σ (∂f/∂x_i)²·s_i²,   ∂f/∂x_i·s_i ≈ [f(x_i + s_i) − f(x_i − s_i)]/2,   f ± 1.645·√var f
 *
 * `at(spread, value)` is f with that one input at `value`. Exact for linear f of normal inputs; for one uniform input alone 5 % too
 * wide, for the sum of several less. Skewed f: the interval stays symmetric, which is where it fails first.
 */
export function propagated(
  nominal: number,
  spreads: readonly Spread[],
  at: (spread: Spread, value: number) => number,
): Propagation {
  let variance = 0;
  for (const spread of spreads) {
    const s = spreadDeviation(spread);
    if (s === 0) continue;
    const effect = (at(spread, spread.nominal + s) - at(spread, spread.nominal - s)) / 2;
    if (!Number.isFinite(effect)) return { interval: null, unknownAt: spread.path };
    variance += effect * effect;
  }
  if (variance === 0 || !Number.isFinite(nominal)) return { interval: null };
  const half = Z95 * Math.sqrt(variance);
  return {
    interval: { low: nominal - half, high: nominal + half, level: 0.9, method: 'linear propagation' },
  };
}
