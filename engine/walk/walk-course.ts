import { curveAt } from '../gait/curve.ts';
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
  let mean = 0;
  for (let i = 0; i < 200; i++) mean += curveAt(of.vertical, i / 2).value / 200;
  const table = new Float64Array(steps * COURSE_WIDTH);
  const hip = new Float64Array(6);
  for (let i = 0; i < steps; i++) {
    const s = i / steps;
    const at = i * COURSE_WIDTH;
    hipCourseAt(of.hip, s, rate, hip);
    const thigh = curveAt(of.thigh, 100 * s);
    table[at + COURSE.x] = hip[3];
    table[at + COURSE.xRate] = hip[4] - of.hip.strideLength * rate;
    table[at + COURSE.xAcceleration] = hip[5];
    table[at + COURSE.thigh] = thigh.value;
    table[at + COURSE.thighRate] = thigh.slope * 100 * rate;
    table[at + COURSE.thighAcceleration] = thigh.curvature * 1e4 * rate * rate;
    table[at + COURSE.height] = hip[0];
    table[at + COURSE.heightRate] = hip[1];
    const other = curveAt(of.vertical, 100 * ((s + 0.5) % 1)).value;
    table[at + COURSE.other] = (of.weight * Math.max(0, other) * 0.5) / mean;
    table[at + COURSE.hipMoment] = of.mass * curveAt(of.hipMoment, 100 * s).value;
  }
  return { speed: of.speed, strideTime, steps, step, table };
}
