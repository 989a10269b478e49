import { trajectoryAt } from '../control/trajectory.ts';
import type { Stride } from '../gait/stride.ts';
import { COURSE, COURSE_WIDTH, keptCurve, START, type WalkCourse } from './walk-course.ts';

/**
 * A leg hung from a thigh that does what `thigh` of the stride does, over and over: the hip stands at `height` m, and what holds it gives
 * `weight` N. Nothing else is in it.
 */
export function hungCourse(
  { thigh, strideTime, speed }: Pick<Stride, 'strideTime' | 'speed'> & Required<Pick<Stride, 'thigh'>>,
  { height, weight }: { readonly height: number; readonly weight: number },
  step: number,
): WalkCourse {
  const steps = Math.round(strideTime / step);
  const rate = 1 / (steps * step);
  const table = new Float64Array(steps * COURSE_WIDTH);
  const kept = keptCurve(thigh);
  const out = new Float64Array(3);
  for (let i = 0; i < steps; i++) {
    const at = i * COURSE_WIDTH;
    trajectoryAt(kept, i / steps, out, 0);
    table[at + COURSE.thigh] = out[0];
    table[at + COURSE.thighRate] = out[1] * rate;
    table[at + COURSE.thighAcceleration] = out[2] * rate * rate;
    table[at + COURSE.height] = height;
    table[at + COURSE.other] = weight;
    table[at + COURSE.place] = i / steps;
  }
  const first = Math.round(START * steps);
  return {
    speed: speed ?? Number.NaN,
    strideTime: steps * step,
    perStride: steps,
    steps,
    first,
    whole: true,
    step,
    table,
  };
}
