import { curveAt } from '../gait/curve.ts';
import type { LegSegments, Stride, StrideCurve } from '../gait/stride.ts';
import { leastSquares } from '../numeric/least-squares.ts';

/** Harmonics of half a stride: 2, 4 and 6 a stride. Our choice; more follow the edges of stance, not the walk. */
const HARMONICS = 3;
/** Parts of stance that are left out of the fit, as shares of the stride: the foot is coming down, or rolls off its tip. Our choice. */
const FROM = 0.02;
const BEFORE_TOE_OFF = 0.06;
const STEP = 0.01;

/**
 * How the hip must go over the stride s so that this leg's standing foot neither slips nor sinks:
 *
 *     z(s) = a_0 + Σ a_k·cos 4πks + b_k·sin 4πks        ẋ(s)·T = L + Σ c_k·cos 4πks + d_k·sin 4πks
 */
export interface HipCourse {
  /** L: m a stride. */
  readonly strideLength: number;
  /** a_0, a_1, b_1 …: m. */
  readonly height: Float64Array;
  /** L, c_1, d_1 …: m a stride. */
  readonly pace: Float64Array;
  /** Largest misfit of height, m, and of pace, m a stride, over the stance that was fitted. */
  readonly heightMisfit: number;
  readonly paceMisfit: number;
}

/** The angles a course needs; each may be missing from a stride. */
export interface WalkAngles {
  readonly thigh: StrideCurve;
  readonly knee: StrideCurve;
  readonly ankle: StrideCurve;
}

/**
 * Hip course of a stride's angles on this leg: at each place of stance the lowest sole point stands still,
 *
 *     z = depth − z_rel(lowest),   ẋ = −(J·q̇)_x of that point
 *
 * fitted by a constant and even harmonics, since the other leg does the same half a stride later. The mean of ẋ is the length of the stride:
 * it follows from angles and leg lengths alone, whatever the stride time. `depth`: how far the sole sinks, m.
 */
export function hipCourse(
  angles: WalkAngles,
  stance: Stride['stance'],
  segments: LegSegments,
  depth: number,
): HipCourse {
  const place: number[] = [];
  const height: number[] = [];
  const pace: number[] = [];
  for (let s = FROM; s <= stance - BEFORE_TOE_OFF; s += STEP) {
    const [thigh, knee, ankle] = [angles.thigh, angles.knee, angles.ankle].map((curve) =>
      curveAt(curve, 100 * s),
    );
    const phi = [thigh.value, thigh.value - knee.value, thigh.value - knee.value + ankle.value];
    const rate = [thigh.slope, thigh.slope - knee.slope, thigh.slope - knee.slope + ankle.slope].map(
      (w) => 100 * w,
    );
    const z2 = -segments.thighLength * Math.cos(phi[0]) - segments.shank.length * Math.cos(phi[1]);
    let low = Number.POSITIVE_INFINITY;
    for (const point of segments.sole)
      low = Math.min(low, point.x * Math.sin(phi[2]) + point.z * Math.cos(phi[2]));
    place.push(s);
    height.push(depth - z2 - low);
    // ẋ of a point from the hip is −Σ z_i·φ̇_i, and the point stands
    pace.push(
      -segments.thighLength * Math.cos(phi[0]) * rate[0] -
        segments.shank.length * Math.cos(phi[1]) * rate[1] +
        low * rate[2],
    );
  }
  const rows = place.map((s) => evenHarmonics(s));
  const z = leastSquares(rows, height);
  const x = leastSquares(rows, pace);
  const misfit = (fit: Float64Array, of: number[]) =>
    rows.reduce(
      (worst, row, i) => Math.max(worst, Math.abs(row.reduce((sum, r, k) => sum + r * fit[k], 0) - of[i])),
      0,
    );
  return {
    strideLength: x[0],
    height: z,
    pace: x,
    heightMisfit: misfit(z, height),
    paceMisfit: misfit(x, pace),
  };
}

function evenHarmonics(s: number): number[] {
  const row = [1];
  for (let k = 1; k <= HARMONICS; k++) row.push(Math.cos(4 * Math.PI * k * s), Math.sin(4 * Math.PI * k * s));
  return row;
}

/** Height z, ż, z̈ and way x less L·s, ẋ, ẍ at stride phase s, with `rate` strides a second; into `out`. */
export function hipCourseAt(
  { height, pace, strideLength }: HipCourse,
  s: number,
  rate: number,
  out: Float64Array,
): void {
  let [z, zs, zss, x, xs, xss] = [height[0], 0, 0, 0, strideLength, 0];
  for (let k = 1; k <= HARMONICS; k++) {
    const w = 4 * Math.PI * k;
    const [c, n] = [Math.cos(w * s), Math.sin(w * s)];
    const [a, b, p, q] = [height[2 * k - 1], height[2 * k], pace[2 * k - 1], pace[2 * k]];
    z += a * c + b * n;
    zs += w * (b * c - a * n);
    zss -= w * w * (a * c + b * n);
    x += (p * n - q * c) / w;
    xs += p * c + q * n;
    xss += w * (q * c - p * n);
  }
  out[0] = z;
  out[1] = zs * rate;
  out[2] = zss * rate * rate;
  out[3] = x;
  out[4] = xs * rate;
  out[5] = xss * rate * rate;
}
