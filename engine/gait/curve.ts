import { type CubicSpline, cubicSpline, splineAt } from '../numeric/cubic-spline.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import type { StrideCurve } from './stride.ts';

/** A curve at STRIDE_SAMPLES places, 0 to 100 %: value, slope per per cent, curvature per per cent squared. */
export interface SampledCurve {
  readonly value: Float64Array;
  readonly slope: Float64Array;
  readonly curvature: Float64Array;
}

const splines = new WeakMap<StrideCurve, CubicSpline>();
const samples = new WeakMap<StrideCurve, SampledCurve>();

/**
 * Value, slope and curvature of a stride curve at `percent`, 0–100, derivatives per per cent.
 * The series is differentiated term by term, the table by its spline. Curves are values: a spline is made once for each.
 */
export function curveAt(
  curve: StrideCurve,
  percent: number,
): { value: number; slope: number; curvature: number } {
  if (curve.form === 'table') {
    let spline = splines.get(curve);
    if (spline === undefined) {
      spline = cubicSpline(curve.percent, curve.value, curve.periodic ? 'periodic' : 'not-a-knot');
      splines.set(curve, spline);
    }
    return splineAt(spline, percent);
  }
  const w = (2 * Math.PI) / 100;
  let value = curve.mean + (curve.drift * percent) / 100;
  let slope = curve.drift / 100;
  let curvature = 0;
  for (let k = 1; k <= curve.cos.length; k++) {
    const a = curve.cos[k - 1];
    const b = curve.sin[k - 1];
    const c = Math.cos(k * w * percent);
    const s = Math.sin(k * w * percent);
    value += a * c + b * s;
    slope += k * w * (b * c - a * s);
    curvature -= (k * w) ** 2 * (a * c + b * s);
  }
  return { value, slope, curvature };
}

/** The curve at every half per cent. Remembered for each curve, since curves never change. */
export function sampleCurve(curve: StrideCurve): SampledCurve {
  const known = samples.get(curve);
  if (known !== undefined) return known;
  const value = new Float64Array(STRIDE_SAMPLES);
  const slope = new Float64Array(STRIDE_SAMPLES);
  const curvature = new Float64Array(STRIDE_SAMPLES);
  for (let i = 0; i < STRIDE_SAMPLES; i++) {
    const at = curveAt(curve, (100 * i) / (STRIDE_SAMPLES - 1));
    value[i] = at.value;
    slope[i] = at.slope;
    curvature[i] = at.curvature;
  }
  const sampled = { value, slope, curvature };
  samples.set(curve, sampled);
  return sampled;
}
