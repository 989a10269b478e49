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
} as const;
export const COURSE_WIDTH = 10;

/** The wearer as the leg meets them, step by step over one stride and then again. */
export interface WalkCourse {
  /** m/s */
  readonly speed: number;
  /** s; a whole number of steps. */
  readonly strideTime: number;
  readonly steps: number;
  /** s */
  readonly step: number;
  /** `steps` rows of COURSE_WIDTH. */
  readonly table: Float64Array;
}

/** Harmonics in which thigh, other leg and hip moment are kept: a stride of 1.1 s up to 22 Hz. Our choice. */
const HARMONICS = 24;
const kept = (curve: StrideCurve): Trajectory => periodicTrajectory(sampleCurve(curve).value, HARMONICS);

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

/**
 * The course at steps of `step` s. The stride takes L/v, rounded to whole steps, so that it goes at `speed` without slipping on average.
 *
 *     F_other(s) = W·F_z(s + ½)·½/mean(F_z)
 *
 * so that both legs together carry the weight W of wearer and leg on average. F_z, body weights, is the reference's own; its other leg is
 * taken as alike, half a stride away.
 */
export function walkCourse(of: CourseOf, step: number): WalkCourse {
  const steps = Math.round(of.hip.strideLength / of.speed / step);
  const strideTime = steps * step;
  const rate = 1 / strideTime;
  const thigh = kept(of.thigh);
  const vertical = kept(of.vertical);
  const moment = kept(of.hipMoment);
  // the mean over the stride is the constant of its series, with half of what does not close
  const mean = vertical[1] + vertical[0] / 2;
  const table = new Float64Array(steps * COURSE_WIDTH);
  const hip = new Float64Array(6);
  const out = new Float64Array(3);
  for (let i = 0; i < steps; i++) {
    const s = i / steps;
    const at = i * COURSE_WIDTH;
    hipCourseAt(of.hip, s, rate, hip);
    trajectoryAt(thigh, s, out, 0);
    table[at + COURSE.x] = hip[3];
    table[at + COURSE.xRate] = hip[4] - of.hip.strideLength * rate;
    table[at + COURSE.xAcceleration] = hip[5];
    table[at + COURSE.thigh] = out[0];
    table[at + COURSE.thighRate] = out[1] * rate;
    table[at + COURSE.thighAcceleration] = out[2] * rate * rate;
    table[at + COURSE.height] = hip[0];
    table[at + COURSE.heightRate] = hip[1];
    trajectoryAt(vertical, (s + 0.5) % 1, out, 0);
    table[at + COURSE.other] = (of.weight * Math.max(0, out[0]) * 0.5) / mean;
    trajectoryAt(moment, s, out, 0);
    table[at + COURSE.hipMoment] = of.mass * out[0];
  }
  return { speed: of.speed, strideTime, steps, step, table };
}
