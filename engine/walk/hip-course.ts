import { curveAt } from '../gait/curve.ts';
import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { LegSegments, Stride, StrideCurve } from '../gait/stride.ts';
import { leastSquares } from '../numeric/least-squares.ts';
import { normalForce, type Sole } from './sole-contact.ts';

/** Harmonics of half a stride: 2, 4 and 6 a stride. Our choice; more follow the edges of stance, not the walk. */
const HARMONICS = 3;
/** Parts of stance that are left out of the fit, as shares of the stride: the foot is coming down, or rolls off its tip. Our choice. */
const FROM = 0.02;
const BEFORE_TOE_OFF = 0.06;
const STEP = 0.01;
/** Share of the force in how the height moves, the rest being the angles'. Our choice: neither source is the better one. */
const BY_FORCE = 0.5;

/**
 * How the hip goes over the stride s:
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
  /** Largest misfit of the angles' height, m, and of pace, m a stride, over the stance that was fitted. */
  readonly heightMisfit: number;
  readonly paceMisfit: number;
}

/** The angles a course needs; each may be missing from a stride. */
export interface WalkAngles {
  readonly thigh: StrideCurve;
  readonly knee: StrideCurve;
  readonly ankle: StrideCurve;
}

/** What the standing legs carry. */
export interface CarriedBody {
  /** N up on one leg over the stride, with the other's half a stride away. */
  readonly force: (place: number) => number;
  /** N */
  readonly weight: number;
  /** m/s */
  readonly speed: number;
}

/**
 * Hip course of a stride on this leg. By its angles, the sole sinks at each place of stance as deep as its force asks, and what is pressed
 * stands still along the ground:
 *
 *     Σ k_i·δ_i^1.5 = F(s),  δ_i = max(0, −z − z_i),   ẋ·F(s) = −Σ F_i·(J·q̇)_x,i
 *
 * z_i: height of a sole point from the hip; F_i: force on that point. Fitted by a constant and even harmonics, since the other leg does the same
 * half a stride later. The mean of ẋ is the length of the stride: it follows from angles, leg lengths and sole, whatever the stride time.
 *
 * By the force of both legs, the same height moves as z̈ = g·((F(s) + F(s + ½))/W − 1). Two published accounts of one motion, which agree on how
 * far the hip goes up and down, within a tenth, and differ by some 4 % of the stride on when: the course is half way between them, and its mean
 * is that of the angles.
 */
export function hipCourse(
  angles: WalkAngles,
  stance: Stride['stance'],
  segments: Pick<LegSegments, 'thighLength' | 'shank'>,
  sole: Sole,
  { force, weight, speed }: CarriedBody,
): HipCourse {
  const { place, height, pace } = standingHip(angles, stance, segments, sole, force);
  const rows = place.map((s) => evenHarmonics(s));
  const z = leastSquares(rows, height);
  const x = leastSquares(rows, pace);
  const lifted = heightByForce(force, weight, x[0] / speed);
  const misfit = (fit: Float64Array, of: number[]) =>
    rows.reduce(
      (worst, row, i) => Math.max(worst, Math.abs(row.reduce((sum, r, k) => sum + r * fit[k], 0) - of[i])),
      0,
    );
  return {
    strideLength: x[0],
    height: z.map((own, i) => (i === 0 ? own : (1 - BY_FORCE) * own + BY_FORCE * lifted[i])),
    pace: x,
    heightMisfit: misfit(z, height),
    paceMisfit: misfit(x, pace),
  };
}

/** Height of the hip over what the foot stands on, m, and its pace, m a stride, at places of stance by the angles alone, as in `hipCourse`. */
export function standingHip(
  angles: WalkAngles,
  stance: Stride['stance'],
  segments: Pick<LegSegments, 'thighLength' | 'shank'>,
  sole: Sole,
  force: CarriedBody['force'],
): { readonly place: number[]; readonly height: number[]; readonly pace: number[] } {
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
    const points = sole.x.map((x, i) => x * Math.sin(phi[2]) + sole.z[i] * Math.cos(phi[2]));
    const ankleHeight = standing(sole, points, Math.max(0, force(s)));
    const low = pressed(sole, points, ankleHeight);
    place.push(s);
    height.push(ankleHeight - z2);
    // ẋ of a point from the hip is −Σ z_i·φ̇_i, and the points stand
    pace.push(
      -segments.thighLength * Math.cos(phi[0]) * rate[0] -
        segments.shank.length * Math.cos(phi[1]) * rate[1] +
        low * rate[2],
    );
  }
  return { place, height, pace };
}

/** a_1, b_1 … of the height, m, that the force of both legs gives a body in strides of `time` s; 0 in the place of a_0. */
function heightByForce(force: (place: number) => number, weight: number, time: number): Float64Array {
  const N = 400;
  const height = new Float64Array(2 * HARMONICS + 1);
  for (let i = 0; i < N; i++) {
    const s = i / N;
    const row = evenHarmonics(s);
    const over = (force(s) + force(s + 0.5)) / weight - 1;
    for (let k = 1; k <= HARMONICS; k++) {
      const through = (-2 * GRAVITY * over) / N / ((4 * Math.PI * k) / time) ** 2;
      height[2 * k - 1] += through * row[2 * k - 1];
      height[2 * k] += through * row[2 * k];
    }
  }
  return height;
}

/** Height of the ankle, m, at which points that far above it carry `force` N at rest, by halving. */
function standing({ stiffness }: Sole, points: Float64Array, force: number): number {
  const lowest = points.reduce((least, z) => Math.min(least, z), Number.POSITIVE_INFINITY);
  const softest = stiffness.reduce((least, k) => Math.min(least, k), Number.POSITIVE_INFINITY);
  // the lowest point alone carries it at this depth or less
  let [low, high] = [-lowest - (force / softest) ** (2 / 3), -lowest];
  for (let k = 0; k < 50; k++) {
    const middle = (low + high) / 2;
    const carried = points.reduce((sum, z, i) => sum + normalForce(stiffness[i], 0, -middle - z, 0), 0);
    if (carried > force) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Mean height of the points from the ankle, m, each weighted by what it carries; of the lowest where none carries anything. */
function pressed({ stiffness }: Sole, points: Float64Array, ankle: number): number {
  let [sum, carried, lowest] = [0, 0, Number.POSITIVE_INFINITY];
  points.forEach((z, i) => {
    const force = normalForce(stiffness[i], 0, -ankle - z, 0);
    sum += force * z;
    carried += force;
    lowest = Math.min(lowest, z);
  });
  return carried > 0 ? sum / carried : lowest;
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
