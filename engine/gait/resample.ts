import { cubicSpline } from '../numeric/cubic-spline.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';

/**
 * Values at STRIDE_SAMPLES even places from 0 to 100 %, by a not-a-knot cubic spline through the rows.
 *
 * `percent` rises from 0 to 100, at least 4 rows. A single stride need not close, so no periodicity is assumed.
 * Interpolation only: noise faster than the 100th harmonic, which rows denser than STRIDE_SAMPLES can carry, folds back
 * below it and is left to averaging and smoothing.
 */
export function resampleStride(percent: ArrayLike<number>, value: ArrayLike<number>): Float64Array {
  const { x, y, m } = cubicSpline(percent, value, 'not-a-knot');
  const out = new Float64Array(STRIDE_SAMPLES);
  let k = 0;
  for (let i = 0; i < STRIDE_SAMPLES; i++) {
    const t = (100 * i) / (STRIDE_SAMPLES - 1);
    while (k < x.length - 2 && x[k + 1] <= t) k++;
    const h = x[k + 1] - x[k];
    const a = (x[k + 1] - t) / h;
    const b = (t - x[k]) / h;
    out[i] = a * y[k] + b * y[k + 1] + ((a ** 3 - a) * m[k] + (b ** 3 - b) * m[k + 1]) * ((h * h) / 6);
  }
  return out;
}
