import type { ScanCandidates } from './scan-candidates.ts';
import { ROW, type ScanSamples } from './scan-samples.ts';

/** The few samples that can be a peak, five numbers each as in `ScanSamples`, turned so that the peak is the largest of them. */
export type PeakPoints = Float64Array;

/** Numbers of a point: a row without its weight. */
const COLUMNS = 5;

/** Coefficients of the five columns for candidate n, into `a`: of the torque, or of the voltage without inductance per R/K_t. */
function coefficients(c: ScanCandidates, n: number, of: 'torque' | 'voltage', a: Float64Array): void {
  a[0] = c.driving[n];
  a[1] = c.driven[n];
  a[2] = c.inertia[n];
  a[3] = c.viscous[n];
  a[4] = c.coulomb[n];
  if (of === 'voltage')
    a[3] += (c.polePairs[n] * c.fluxLinkage[n] * c.ratio[n] * c.torqueConstant[n]) / c.resistance[n];
}

/**
 * The samples, over all tasks, that can be the peak |a·x| of torque or of voltage for at least one of these candidates, and perhaps a
 * few more. A candidate is a direction a in five dimensions and a task a cloud of points; most points lie behind others in every
 * direction that occurs.
 *
 * Directions are scaled to a_0 = 1, which changes no order, and put into the smallest box that holds those of all candidates. Point x
 * is behind y where a·(y − x) ≥ 0 at the worst corner of the box:  Σ min(lo·d, hi·d) ≥ 0,  d = y − x. Such an x never wins, so that
 * nothing is approximated. Only for what is linear in x: torque always, voltage without inductance, current without saturation. The
 * box belongs to these candidates: others need points of their own.
 */
export function peakPoints(samples: ScanSamples, c: ScanCandidates, of: 'torque' | 'voltage'): PeakPoints {
  const low = new Float64Array(COLUMNS).fill(Number.POSITIVE_INFINITY);
  const high = new Float64Array(COLUMNS).fill(Number.NEGATIVE_INFINITY);
  const a = new Float64Array(COLUMNS);
  for (let n = 0; n < c.count; n++) {
    coefficients(c, n, of, a);
    for (let j = 0; j < COLUMNS; j++) {
      const scaled = a[j] / a[0];
      if (scaled < low[j]) low[j] = scaled;
      if (scaled > high[j]) high[j] = scaled;
    }
  }
  const { rows } = samples;
  const size = rows.length / ROW;
  // a point behind another is behind it at the middle of the box too: seen from the front, each meets those that hide it
  const middle = new Float64Array(size);
  for (let k = 0; k < size; k++)
    for (let j = 0; j < COLUMNS; j++) middle[k] += ((low[j] + high[j]) / 2) * rows[k * ROW + j];
  const order = Array.from({ length: size }, (_, k) => k)
    .filter((k) => !Number.isNaN(middle[k]))
    .sort((x, y) => Math.abs(middle[y]) - Math.abs(middle[x]));
  const kept: { readonly at: number; readonly sign: number }[] = [];
  const behind = (at: number, sign: number): boolean =>
    kept.some((front) => {
      let worst = 0;
      for (let j = 0; j < COLUMNS; j++) {
        const d = front.sign * rows[front.at * ROW + j] - sign * rows[at * ROW + j];
        worst += d < 0 ? high[j] * d : low[j] * d;
      }
      return worst >= 0;
    });
  // the sign that is in front at the middle comes before all points nearer the origin; the other only after them
  for (const k of order) {
    const sign = middle[k] < 0 ? -1 : 1;
    if (!behind(k, sign)) kept.push({ at: k, sign });
  }
  for (const k of order.toReversed()) {
    const sign = middle[k] < 0 ? 1 : -1;
    if (!behind(k, sign)) kept.push({ at: k, sign });
  }
  return Float64Array.from(
    kept.flatMap(({ at, sign }) => Array.from({ length: COLUMNS }, (_, j) => sign * rows[at * ROW + j])),
  );
}

/** Largest |τ_m| over all tasks, N·m, of each candidate that the points were made for. */
export function peakTorqueScan(points: PeakPoints, c: ScanCandidates, out: Float64Array): void {
  for (let n = 0; n < c.count; n++) {
    const a0 = c.driving[n];
    const a1 = c.driven[n];
    const a2 = c.inertia[n];
    const a3 = c.viscous[n];
    const a4 = c.coulomb[n];
    let peak = 0;
    for (let k = 0; k < points.length; k += COLUMNS) {
      const torque =
        a0 * points[k] + a1 * points[k + 1] + a2 * points[k + 2] + a3 * points[k + 3] + a4 * points[k + 4];
      if (torque > peak) peak = torque;
    }
    out[n] = peak;
  }
}

/** Largest |R·i + p·λ·ω| over all tasks, V peak phase, of each candidate that the points were made for. */
export function peakVoltageScan(points: PeakPoints, c: ScanCandidates, out: Float64Array): void {
  for (let n = 0; n < c.count; n++) {
    const ohm = c.resistance[n] / c.torqueConstant[n];
    const a0 = ohm * c.driving[n];
    const a1 = ohm * c.driven[n];
    const a2 = ohm * c.inertia[n];
    const a3 = ohm * c.viscous[n] + c.polePairs[n] * c.fluxLinkage[n] * c.ratio[n];
    const a4 = ohm * c.coulomb[n];
    let peak = 0;
    for (let k = 0; k < points.length; k += COLUMNS) {
      const volts =
        a0 * points[k] + a1 * points[k + 1] + a2 * points[k + 2] + a3 * points[k + 3] + a4 * points[k + 4];
      if (volts > peak) peak = volts;
    }
    out[n] = peak;
  }
}
