import type { PhaseCourse, ThighSignal } from './phase-course.ts';

/** The thigh over the stride: angle, rad, and its slope over the stride phase, rad, at any x ≥ 0 in strides. */
export type ThighOverStride = (x: number) => { readonly value: number; readonly slope: number };

/** Where on its path the leg is at time t: strides gone, and strides per second. */
export type Pace = (t: number) => { readonly x: number; readonly rate: number };

/** One stride after the other in the same time. */
export const evenPace =
  (strideTime: number): Pace =>
  (t) => ({ x: t / strideTime, rate: 1 / strideTime });

/** Hurrying and dawdling by turns, a tenth of a stride ahead and behind, over two strides: w(t) = t + 0.12/1.1·T·sin(πt/T). */
export const unevenPace =
  (strideTime: number): Pace =>
  (t) => {
    const part = (0.12 / 1.1) * strideTime;
    const turn = Math.PI / strideTime;
    return {
      x: (t + part * Math.sin(turn * t)) / strideTime,
      rate: (1 + part * turn * Math.cos(turn * t)) / strideTime,
    };
  };

/** What the controller reads while the thigh goes along its path at this pace, for `ticks` of dt, s; loaded in the first `stance` of each stride. */
export function thighSignal(
  thigh: ThighOverStride,
  stance: number,
  pace: Pace,
  dt: number,
  ticks: number,
): ThighSignal {
  const signal = {
    thigh: new Float64Array(ticks),
    rate: new Float64Array(ticks),
    loaded: new Uint8Array(ticks),
    dt,
  };
  for (let k = 0; k < ticks; k++) {
    const { x, rate } = pace(k * dt);
    const { value, slope } = thigh(x);
    signal.thigh[k] = value;
    signal.rate[k] = slope * rate;
    signal.loaded[k] = x - Math.floor(x) < stance ? 1 : 0;
  }
  return signal;
}

/**
 * How much a phase depends on how fast its path is walked: the same thigh path evenly and by `unevenPace`,
 *
 *     E = max |ŝ_uneven(x) − ŝ_even(x)|        x: place on the path, from `from` to `strides`
 *
 * in the unit of the course. 0 for what depends on the path alone, but for sampling: up to the largest step of the phase from one
 * tick to the next. Places where either says nothing are left out; NaN where none is left.
 */
export function timeWarpError(
  course: PhaseCourse,
  thigh: ThighOverStride,
  {
    stance,
    strideTime,
    dt,
    from,
    strides,
  }: {
    readonly stance: number;
    readonly strideTime: number;
    readonly dt: number;
    readonly from: number;
    readonly strides: number;
  },
): number {
  const ticks = Math.round((strides * strideTime) / dt);
  const even = course(thighSignal(thigh, stance, evenPace(strideTime), dt, ticks));
  const pace = unevenPace(strideTime);
  const uneven = course(thighSignal(thigh, stance, pace, dt, ticks));
  let worst = Number.NaN;
  for (let k = 0; k < ticks; k++) {
    const place = pace(k * dt).x;
    const at = (place * strideTime) / dt;
    const i = Math.floor(at);
    if (place < from || i + 1 >= ticks) continue;
    const there = even[i] + (at - i) * (even[i + 1] - even[i]);
    const error = Math.abs(uneven[k] - there);
    if (!Number.isNaN(error) && !(error <= worst)) worst = error;
  }
  return worst;
}
