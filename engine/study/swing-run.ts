import { beginSwing, SWING, swingState, swingTick } from '../control/swing-tick.ts';
import { thighSignal } from '../control/time-warp.ts';
import { trajectoryAt } from '../control/trajectory.ts';
import { curveAt } from '../gait/curve.ts';
import type { PhaseMethod } from './phase-methods.ts';
import { readyMethod } from './swing-methods.ts';
import type { ReadySwing } from './swing-ready.ts';

/** How far a joint's command is from the stride's own angle over the swing, rad. */
export interface FollowError {
  readonly rms: number;
  readonly worst: number;
  /** Command less own angle at the next contact. */
  readonly atContact: number;
}

/** One swing tick by tick, rad; what is commanded stands beside what the stride does at the time the command takes effect. */
export interface SwingCourse {
  /** Share of the stride. */
  readonly place: Float64Array;
  readonly phase: Float64Array;
  readonly knee: Float64Array;
  readonly ankle: Float64Array;
  readonly ownThigh: Float64Array;
  readonly ownKnee: Float64Array;
  readonly ownAnkle: Float64Array;
}

/** What a tick reads of the thigh, rad, and its slope over the stride phase, rad, when the leg stands at this share of the stride. */
export type HeardThigh = (place: number) => { readonly value: number; readonly slope: number };

/** Latched swing from toe-off to contact; `heard` is what the sensor says of the thigh, left out: the thigh itself, late. */
export function latched(
  { plan, map, thigh, dt, before, after }: ReadySwing,
  heard: HeardThigh = (place) => thigh(place - before / plan.stride.strideTime),
): SwingCourse {
  const { stance, strideTime } = plan.stride;
  const own = (curve: typeof plan.own.knee, place: number) => curveAt(curve, 100 * Math.min(1, place));
  const first = Math.ceil((stance * strideTime) / dt - 1e-9);
  const ticks = Math.max(0, Math.floor((strideTime - after) / dt + 1e-9) - first + 1);
  const course = emptyCourse(ticks);
  const state = swingState();
  const read = (k: number) => heard(((first + k) * dt) / strideTime);
  const [knee, ankle] = [own(plan.own.knee, stance), own(plan.own.ankle, stance)];
  const pose = {
    thigh: read(0).value,
    knee: knee.value,
    kneeRate: (100 * knee.slope) / strideTime,
    ankle: ankle.value,
    ankleRate: (100 * ankle.slope) / strideTime,
  };
  beginSwing(map, state, pose, 1 / strideTime);
  for (let k = 0; k < ticks; k++) {
    const { value, slope } = read(k);
    swingTick(map, state, value, slope / strideTime, dt);
    const place = ((first + k) * dt + after) / strideTime;
    course.place[k] = place;
    course.phase[k] = state[SWING.phase];
    course.knee[k] = state[SWING.knee];
    course.ankle[k] = state[SWING.ankle];
    course.ownThigh[k] = thigh(Math.min(place, 1 - 1e-12)).value;
    course.ownKnee[k] = own(plan.own.knee, place).value;
    course.ownAnkle[k] = own(plan.own.ankle, place).value;
  }
  return course;
}

const emptyCourse = (ticks: number): SwingCourse => ({
  place: new Float64Array(ticks),
  phase: new Float64Array(ticks),
  knee: new Float64Array(ticks),
  ankle: new Float64Array(ticks),
  ownThigh: new Float64Array(ticks),
  ownKnee: new Float64Array(ticks),
  ownAnkle: new Float64Array(ticks),
});

/** Swing by one of the other phases: trajectories at the phase as it comes, without latch, blend or finish. */
export function unlatched(of: ReadySwing, method: PhaseMethod): SwingCourse {
  const { plan, map, thigh, dt, before, after } = of;
  const { stance, strideTime } = plan.stride;
  const { course: phaseOf, settle } = readyMethod(method, map, plan.thigh, { stance, strideTime, dt });
  const start = Math.ceil((settle * strideTime) / dt - 1e-9);
  const pace = (t: number) => ({ x: Math.max(0, t - before) / strideTime, rate: 1 / strideTime });
  const signal = thighSignal(thigh, stance, pace, dt, start + Math.round(strideTime / dt) + 1);
  const phase = phaseOf(signal);
  const shown = Array.from(phase.keys()).filter((k) => {
    const place = (k * dt + after) / strideTime - settle;
    return place >= stance && place <= 1 && !Number.isNaN(phase[k]);
  });
  const course = emptyCourse(shown.length);
  const out = new Float64Array(3);
  shown.forEach((k, j) => {
    const place = (k * dt + after) / strideTime - settle;
    course.place[j] = place;
    course.phase[j] = phase[k];
    trajectoryAt(plan.knee, phase[k], out, 0);
    course.knee[j] = out[0];
    trajectoryAt(plan.ankle, phase[k], out, 0);
    course.ankle[j] = out[0];
    course.ownThigh[j] = thigh(Math.min(place, 1 - 1e-12)).value;
    course.ownKnee[j] = curveAt(plan.own.knee, 100 * place).value;
    course.ownAnkle[j] = curveAt(plan.own.ankle, 100 * place).value;
  });
  return course;
}

/** Command less own angle over the course. */
export function errorOf(commanded: Float64Array, own: Float64Array): FollowError {
  let square = 0;
  let worst = 0;
  for (let k = 0; k < own.length; k++) {
    const error = commanded[k] - own[k];
    square += error * error;
    worst = Math.max(worst, Math.abs(error));
  }
  const last = own.length - 1;
  return { rms: Math.sqrt(square / own.length), worst, atContact: commanded[last] - own[last] };
}

/** Largest |s − true share of the stride|. */
export const phaseErrorOf = ({ phase, place }: SwingCourse): number =>
  phase.reduce((worst, s, k) => Math.max(worst, Math.abs(s - place[k])), 0);
