import type { PhaseCourse, ThighSignal } from '../control/phase-course.ts';
import { evenPace, type Pace, thighSignal, timeWarpError, unevenPace } from '../control/time-warp.ts';
import { randomStream } from '../numeric/random.ts';
import type { PhaseMethod } from './phase-methods.ts';
import type { StudyInput } from './study-input.ts';
import { readyMethod } from './swing-methods.ts';
import { readySwing, remembered } from './swing-ready.ts';

type Open = { readonly openBecause: string };

/** How a phase behaves beside the walk it was made for. Shares of the stride. */
export interface SwingSteadiness {
  /** Largest |Δs| while the thigh is held 3 s, over five angles below where it leads no more. */
  readonly hold: number;
  /** `timeWarpError` of the part of the swing that the thigh leads. */
  readonly warp: number;
  /** Largest fall of the phase below what it has been in the same swing, the thigh going forward all the while, at the uneven pace. */
  readonly falls: number;
  /** RMS change of the phase over swing by white noise of STEADY_NOISE in what is heard of the thigh. */
  readonly noise: number;
}

/** Standard deviations of white noise in every tick: rad, and rad/s: 0.2° and 2°/s, a poor sensor. Our choice. */
export const STEADY_NOISE = { thigh: Math.PI / 900, rate: Math.PI / 90 };

/** Shares of the thigh's way at which it is held, and s of holding. Our choice. */
const HELD_AT = [0.1, 0.3, 0.5, 0.7, 0.9] as const;
const HOLD_TIME = 3;

/**
 * Held and walked unevenly: the thigh held for 3 s at five angles below where it leads no more, and the same path at an even and at
 * an uneven pace, by which the phase may depend on pace and may fall; and with noise. The finish, which runs by time, is left out of all
 * but the first.
 */
export function swingSteadiness(
  input: StudyInput,
  id: string,
  { method = 'latch' }: { readonly method?: PhaseMethod } = {},
): SwingSteadiness | Open {
  return remembered(input, `steadiness ${id} ${method}`, () => steadiness(input, id, method));
}

function steadiness(input: StudyInput, id: string, method: PhaseMethod): SwingSteadiness | Open {
  const of = readySwing(input, id, undefined);
  if ('openBecause' in of) return of;
  const { plan, map, thigh, dt } = of;
  const { stance, strideTime } = plan.stride;
  const stride = { stance, strideTime, dt };
  const holding = readyMethod(method, map, plan.thigh, stride);
  const on = thigh(stance).value;
  let hold = 0;
  for (const share of HELD_AT) {
    let place = stance;
    while (place < 1 && thigh(place).value < on + share * (map.full - on)) place += 1e-3;
    // the last tick of the walk, and from the next on the thigh stays where it was then
    const last = Math.round(((holding.settle + place) * strideTime) / dt);
    const stays = (last * dt) / strideTime;
    const pace = (t: number) =>
      t < (last + 0.5) * dt ? { x: t / strideTime, rate: 1 / strideTime } : { x: stays, rate: 0 };
    const phase = holding.course(thighSignal(thigh, stance, pace, dt, last + Math.round(HOLD_TIME / dt)));
    for (let k = last + 1; k < phase.length; k++) hold = Math.max(hold, Math.abs(phase[k] - phase[last]));
  }
  const still = { ...map, finishRate: 0 };
  const { course, settle } = readyMethod(method, still, plan.thigh, stride);
  const walked = { ...stride, from: settle, strides: settle + 2 };
  const signal = (pace: Pace) =>
    thighSignal(thigh, stance, pace, dt, Math.round((walked.strides * strideTime) / dt));
  return {
    hold,
    warp: timeWarpError(course, thigh, walked),
    falls: phaseFall(course, signal(unevenPace(strideTime)), settle * strideTime),
    noise: phaseNoise(course, signal(evenPace(strideTime)), settle * strideTime),
  };
}

/** Largest fall within a swing of what begins at `from`, s. */
function phaseFall(course: PhaseCourse, signal: ThighSignal, from: number): number {
  const phase = course(signal);
  let [highest, fall] = [Number.NEGATIVE_INFINITY, 0];
  for (let k = Math.round(from / signal.dt); k < phase.length; k++) {
    if (Number.isNaN(phase[k])) highest = Number.NEGATIVE_INFINITY;
    else if (signal.rate[k] > 0) {
      highest = Math.max(highest, phase[k]);
      fall = Math.max(fall, highest - phase[k]);
    }
  }
  return fall;
}

/** RMS over swing of the phase that a noisy thigh gives less that of a quiet one. */
function phaseNoise(course: PhaseCourse, signal: ThighSignal, from: number): number {
  const random = randomStream(1);
  const noisy: ThighSignal = {
    ...signal,
    thigh: signal.thigh.map((x) => x + STEADY_NOISE.thigh * random.normal()),
    rate: signal.rate.map((x) => x + STEADY_NOISE.rate * random.normal()),
  };
  const [quiet, heard] = [course(signal), course(noisy)];
  let [square, n] = [0, 0];
  for (let k = Math.round(from / signal.dt); k < quiet.length; k++) {
    const off = heard[k] - quiet[k];
    if (Number.isNaN(off)) continue;
    square += off * off;
    n++;
  }
  return Math.sqrt(square / n);
}
