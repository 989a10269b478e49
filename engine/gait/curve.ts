import { type CubicSpline, cubicSpline, splineAt } from '../numeric/cubic-spline.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import type { StrideCurve } from './stride.ts';

/** A curve at STRIDE_SAMPLES places, 0 to 100 %: value, slope per per cent, curvature per per cent squared. */
export interface SampledCurve {
  readonly value: Float64Array;
  readonly slope: Float64Array;
  readonly curvature: Float64Array;
}

const PER_PERCENT = (2 * Math.PI) / 100;

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
  let value = curve.mean + (curve.drift * percent) / 100;
  let slope = curve.drift / 100;
  let curvature = 0;
  for (let k = 1; k <= curve.cos.length; k++) {
    const a = curve.cos[k - 1];
    const b = curve.sin[k - 1];
    const c = Math.cos(k * PER_PERCENT * percent);
    const s = Math.sin(k * PER_PERCENT * percent);
    value += a * c + b * s;
    slope += k * PER_PERCENT * (b * c - a * s);
    curvature -= (k * PER_PERCENT) ** 2 * (a * c + b * s);
  }
  return { value, slope, curvature };
}

const percentOf = (i: number): number => (100 * i) / (STRIDE_SAMPLES - 1);

// cos and sin of each harmonic at the samples, the same for every curve: harmonic k at [k − 1]
const cosines: Float64Array[] = [];
const sines: Float64Array[] = [];

/** The table up to a harmonic. */
function tabulate(harmonics: number): void {
  for (let k = cosines.length + 1; k <= harmonics; k++) {
    const c = new Float64Array(STRIDE_SAMPLES);
    const s = new Float64Array(STRIDE_SAMPLES);
    for (let i = 0; i < STRIDE_SAMPLES; i++) {
      c[i] = Math.cos(k * PER_PERCENT * percentOf(i));
      s[i] = Math.sin(k * PER_PERCENT * percentOf(i));
    }
    cosines.push(c);
    sines.push(s);
  }
}

/** A series at every sample, summed as `curveAt` sums it. */
function sampleSeries(
  { mean, drift, cos, sin }: Extract<StrideCurve, { form: 'series' }>,
  into: SampledCurve,
): void {
  const { value, slope, curvature } = into;
  tabulate(cos.length);
  for (let i = 0; i < STRIDE_SAMPLES; i++) value[i] = mean + (drift * percentOf(i)) / 100;
  slope.fill(drift / 100);
  for (let k = 1; k <= cos.length; k++) {
    const [a, b] = [cos[k - 1], sin[k - 1]];
    const [c, s] = [cosines[k - 1], sines[k - 1]];
    const rate = k * PER_PERCENT;
    const square = rate ** 2;
    for (let i = 0; i < STRIDE_SAMPLES; i++) {
      value[i] += a * c[i] + b * s[i];
      slope[i] += rate * (b * c[i] - a * s[i]);
      curvature[i] -= square * (a * c[i] + b * s[i]);
    }
  }
}

/** The curve at every half per cent. Remembered for each curve, since curves never change. */
export function sampleCurve(curve: StrideCurve): SampledCurve {
  const known = samples.get(curve);
  if (known !== undefined) return known;
  const value = new Float64Array(STRIDE_SAMPLES);
  const slope = new Float64Array(STRIDE_SAMPLES);
  const curvature = new Float64Array(STRIDE_SAMPLES);
  if (curve.form === 'series') sampleSeries(curve, { value, slope, curvature });
  else
    for (let i = 0; i < STRIDE_SAMPLES; i++) {
      const at = curveAt(curve, percentOf(i));
      value[i] = at.value;
      slope[i] = at.slope;
      curvature[i] = at.curvature;
    }
  const sampled = { value, slope, curvature };
  samples.set(curve, sampled);
  return sampled;
}
