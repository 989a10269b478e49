import { periodicTrajectory, type Trajectory, trajectoryAt } from '../control/trajectory.ts';
import { sampleCurve } from '../gait/curve.ts';
import type { StrideCurve } from '../gait/stride.ts';
import { type HipCourse, hipCourseAt } from './hip-course.ts';

/** Places of one step in a course. */
export const COURSE = {
  /** Hip: way less v·t, its rate less v, and acceleration: m, m/s, m/s². */
  x: 0,
  xRate: 1,
  xAcceleration: 2,
  /** Thigh: rad, rad/s, rad/s². */
  thigh: 3,
  thighRate: 4,
  thighAcceleration: 5,
  /** Height the guide leads to, and its rate: m, m/s. */
  height: 6,
  heightRate: 7,
  /** Vertical force of the other leg, N. */
  other: 8,
  /** What the wearer's hip does of its own accord where the thigh is not prescribed, N·m. */
  hipMoment: 9,
  /** Of the reference stride, 0 … 1. */
  place: 10,
} as const;
export const COURSE_WIDTH = 11;

/** The wearer as the leg meets them, step by step: over one stride and then again, or over a whole walk of changing pace. */
export interface WalkCourse {
  /** m/s, at its own pace. */
  readonly speed: number;
  /** s; a whole number of steps: one stride at its own pace. */
  readonly strideTime: number;
  /** Steps that are walked at a time: a stride, or the whole of a way that has no other parts. */
  readonly perStride: number;
  /** Rows, the one where a walk begins, and whether COURSE.x has v·t in it. */
  readonly steps: number;
  readonly first: number;
  readonly whole: boolean;
  /** Left out: strides in a row. Else one stretch, told as a whole. */
  readonly stretch?: true;
  /** s */
  readonly step: number;
  /** `steps` rows of COURSE_WIDTH. */
  readonly table: Float64Array;
}

/** Harmonics in which thigh, other leg and hip moment are kept: a stride of 1.1 s up to 22 Hz. Our choice. */
const HARMONICS = 24;
export const keptCurve = (curve: StrideCurve): Trajectory =>
  periodicTrajectory(sampleCurve(curve).value, HARMONICS);

/**
 * By how much the other leg carries more than half of the weight: this leg pushes off more weakly than a leg of flesh, and somebody must carry
 * what it leaves, or the guide does so at every step. That users above the knee load the sound side more is known (Cutti and others, J. NeuroEng.
 * Rehabil. 15 (2018), doi 10.1186/s12984-018-0403-x, abstract seen, no number taken from it); the size is our own proposal, at which the guide
 * of the demo leg carries next to nothing on average.
 */
const OTHER_TAKES = 1.06;

/** What a course is made of. */
export interface CourseOf {
  readonly hip: HipCourse;
  readonly thigh: StrideCurve;
  /** In body weights, and N·m/kg, engine signs; both over the stride of the leg that is replaced. */
  readonly vertical: StrideCurve;
  readonly hipMoment: StrideCurve;
  /** m/s */
  readonly speed: number;
  /** Wearer without the leg, kg. */
  readonly mass: number;
  /** Of wearer and leg, N. */
  readonly weight: number;
}

/** A way that is not that of level walking: every row of it is given, from its beginning to its end. */
export interface OwnCourse {
  /** Its constant is the height below which by a fifth the hip has sunk; its way is for level walking alone. */
  readonly hip: HipCourse;
  readonly mass: number;
  readonly weight: number;
  /** At steps of `step` s. */
  readonly rows: (step: number) => WalkCourse;
}

/** Stride phase at which a walk begins: the leg in the air, its thigh forward. Our choice. */
export const START = 0.8;

/**
 * Pace of a walk over time, as a share of its own, below 0 the same way back: (at s, share) in order of time, each joined to the next by r = r_0 + (r_1 − r_0)·(3u² − 2u³),
 * the last kept for ever.
 */
export type Pace = readonly { readonly at: number; readonly share: number }[];

/** Share r at time t, and ṙ, 1/s, into `out`. */
export function paceAt(pace: Pace, t: number, out: Float64Array): void {
  let k = pace.length - 1;
  while (k > 0 && pace[k].at > t) k--;
  const [a, b] = [pace[k], pace[k + 1]];
  out[0] = a.share;
  out[1] = 0;
  if (b === undefined || t <= a.at) return;
  const u = (t - a.at) / (b.at - a.at);
  out[0] += (b.share - a.share) * u * u * (3 - 2 * u);
  out[1] = ((b.share - a.share) * 6 * u * (1 - u)) / (b.at - a.at);
}

/** The last courses of each, since whoever walks one walks it again, at this step or at another to compare with: nobody writes into them. */
const courses = new WeakMap<CourseOf, readonly WalkCourse[]>();
/** As many as are kept. Our choice: half a megabyte each. */
const KEPT = 2;

/**
 * The course at steps of `step` s. The stride takes L/v, rounded to whole steps, so that it goes at `speed` without slipping on average.
 *
 *     F_other(s) = 1.06·F(s + ½)
 *
 * F: force on one leg, as in `legForce`. The reference's other leg is taken as alike, half a stride away, and carries what OTHER_TAKES says.
 */
export function walkCourse(of: CourseOf, step: number): WalkCourse {
  const kept = courses.get(of) ?? [];
  const known = kept.find((course) => course.step === step);
  if (known !== undefined) return known;
  const steps = Math.round(of.hip.strideLength / of.speed / step);
  const strideTime = steps * step;
  const table = new Float64Array(steps * COURSE_WIDTH);
  const write = rowOf(of);
  for (let i = 0; i < steps; i++) {
    const at = i * COURSE_WIDTH;
    write(table, at, i / steps, 1 / strideTime, 0, 1);
    table[at + COURSE.xRate] -= of.hip.strideLength / strideTime;
  }
  const first = Math.round(START * steps);
  const course = { speed: of.speed, strideTime, perStride: steps, steps, first, whole: false, step, table };
  courses.set(of, [course, ...kept].slice(0, KEPT));
  return course;
}

/**
 * The course of a whole walk of `strides` whose pace changes, overground:
 *
 *     ṗ = r/T,   q = q(p),   q̇ = q′·ṗ,   q̈ = q″·ṗ² + q′·p̈
 *     F_other = w·1.06·F(p + ½) + (1 − w)·W·F(p + ½)/(F(p) + F(p + ½)),   w = min(1, r²)
 *
 * Angles and the length of a stride stay; only their time changes. What is dynamic in the other leg's force and in the hip's moment goes with
 * the square of the pace; standing, both legs share the weight as their forces do at this place. Our own proposal.
 */
export function pacedCourse(of: CourseOf, step: number, strides: number, pace: Pace): WalkCourse {
  const perStride = Math.round(of.hip.strideLength / of.speed / step);
  const strideTime = perStride * step;
  // a stride more than is asked: the last period may reach beyond its end
  const steps = (strides + 1) * perStride;
  const table = new Float64Array(steps * COURSE_WIDTH);
  const write = rowOf(of);
  const share = new Float64Array(2);
  const start = Math.round(START * perStride) / perStride;
  let p = start;
  let before = Number.NaN;
  for (let i = 0; i < steps; i++) {
    paceAt(pace, i * step, share);
    if (i > 0) p += (step * (before + share[0])) / 2 / strideTime;
    before = share[0];
    const at = i * COURSE_WIDTH;
    write(table, at, p, share[0] / strideTime, share[1] / strideTime, Math.min(1, share[0] ** 2));
    table[at + COURSE.x] += of.hip.strideLength * (p - start);
  }
  return { speed: of.speed, strideTime, perStride, steps, first: 0, whole: true, step, table };
}

/**
 * Force up on one leg over the reference stride, N: W·F_z(s)·½/mean(F_z), none below nothing, so that two such legs half a stride apart carry W
 * on average. F_z, body weights, is the reference's own.
 */
export function legForce({
  vertical,
  weight,
}: Pick<CourseOf, 'vertical' | 'weight'>): (place: number) => number {
  const kept = keptCurve(vertical);
  // the mean over the stride is the constant of its series, with half of what does not close
  const mean = kept[1] + kept[0] / 2;
  const out = new Float64Array(3);
  return (place) => {
    trajectoryAt(kept, place % 1, out, 0);
    return (weight * Math.max(0, out[0]) * 0.5) / mean;
  };
}

/** Writes one row: at phase p, with ṗ, p̈ and w; the hip's way without L·p, its rate with L·ṗ. */
function rowOf(
  of: CourseOf,
): (table: Float64Array, at: number, p: number, rate: number, bend: number, w: number) => void {
  const thigh = keptCurve(of.thigh);
  const force = legForce(of);
  const moment = keptCurve(of.hipMoment);
  const hip = new Float64Array(6);
  const out = new Float64Array(3);
  return (table, at, p, rate, bend, w) => {
    const s = p % 1;
    const square = rate * rate;
    hipCourseAt(of.hip, s, 1, hip);
    table[at + COURSE.x] = hip[3];
    table[at + COURSE.xRate] = hip[4] * rate;
    table[at + COURSE.xAcceleration] = hip[5] * square + hip[4] * bend;
    table[at + COURSE.height] = hip[0];
    table[at + COURSE.heightRate] = hip[1] * rate;
    trajectoryAt(thigh, s, out, 0);
    table[at + COURSE.thigh] = out[0];
    table[at + COURSE.thighRate] = out[1] * rate;
    table[at + COURSE.thighAcceleration] = out[2] * square + out[1] * bend;
    // before the force, which is asked for elsewhere on the stride: at one place after the other a trajectory takes no sines of its own
    trajectoryAt(moment, s, out, 0);
    table[at + COURSE.hipMoment] = w * of.mass * out[0];
    const other = force(s + 0.5);
    table[at + COURSE.other] =
      w * OTHER_TAKES * other + (w < 1 ? ((1 - w) * of.weight * other) / (force(s) + other) : 0);
    table[at + COURSE.place] = s;
  };
}
