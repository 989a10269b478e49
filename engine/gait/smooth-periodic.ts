import type { StrideCurve } from './stride.ts';

/** A series form of StrideCurve. */
export type SeriesCurve = Extract<StrideCurve, { form: 'series' }>;

/** Harmonics that a cut-off keeps: floor(cut-off × stride time), Hz × s. */
export const harmonicsWithin = (cutOff: number, strideTime: number): number =>
  Math.floor(cutOff * strideTime + 1e-9);

/** A curve that ends further than this share of its range from where it began keeps a drift, as shipped curves do. */
export const DRIFT_FROM = 0.03;

/**
 * Fourier series of one stride, cut after `harmonics`; y has n + 1 even samples, 0 and 100 % both included.
 *
 *     cos_k = 2/n · Σ_i y_i·cos(2πki/n),   sin_k = 2/n · Σ_i y_i·sin(2πki/n),   mean = 1/n · Σ_i y_i,   i = 0 … n − 1
 *
 * with y_0 ← (y_0 + y_n)/2. An ideal low-pass without phase shift: what lies below the cut-off passes unchanged, what lies
 * above is gone, and the derivatives are those of the series, term by term. Where the ends differ by more than DRIFT_FROM of
 * the range the straight line between them is taken off first and kept as `drift`: a jump at initial contact that no
 * cut series could follow. `harmonics` must be below n/2.
 */
export function smoothPeriodic(y: ArrayLike<number>, harmonics: number): SeriesCurve {
  const n = y.length - 1;
  if (!(harmonics >= 0 && harmonics < n / 2)) {
    throw new RangeError(`${n} samples carry fewer than ${n / 2} harmonics, not ${harmonics}`);
  }
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i <= n; i++) {
    low = Math.min(low, y[i]);
    high = Math.max(high, y[i]);
  }
  const gap = y[n] - y[0];
  const drift = Math.abs(gap) > DRIFT_FROM * (high - low) ? gap : 0;
  const x = new Float64Array(n);
  for (let i = 1; i < n; i++) x[i] = y[i] - (drift * i) / n;
  x[0] = (y[0] + y[n] - drift) / 2;
  const cos: number[] = [];
  const sin: number[] = [];
  for (let k = 1; k <= harmonics; k++) {
    let a = 0;
    let b = 0;
    for (let i = 0; i < n; i++) {
      // k·i mod n keeps the argument small, so that the last digits are right
      const angle = (2 * Math.PI * ((k * i) % n)) / n;
      a += x[i] * Math.cos(angle);
      b += x[i] * Math.sin(angle);
    }
    cos.push((2 * a) / n);
    sin.push((2 * b) / n);
  }
  return { form: 'series', mean: x.reduce((sum, v) => sum + v, 0) / n, drift, cos, sin };
}
