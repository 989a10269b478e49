import { thighSignal, timeWarpError } from '../control/time-warp.ts';
import type { StudyInput } from './study-input.ts';
import { type PhaseMethod, readyMethod } from './swing-methods.ts';
import { readySwing, remembered } from './swing-ready.ts';

type Open = { readonly openBecause: string };

/** How a phase behaves beside the walk it was made for. Shares of the stride. */
export interface SwingSteadiness {
  /** Largest |Δs| while the thigh is held 3 s, over five angles below where it leads no more. */
  readonly hold: number;
  /** `timeWarpError` of the part of the swing that the thigh leads. */
  readonly warp: number;
}

/** Shares of the thigh's way at which it is held, and s of holding. Our choice. */
const HELD_AT = [0.1, 0.3, 0.5, 0.7, 0.9] as const;
const HOLD_TIME = 3;

/**
 * Held and walked unevenly: the thigh held for 3 s at five angles below where it leads no more, and the same path at an even and at
 * an uneven pace. The finish, which runs by time, is left out of the second.
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
  return { hold, warp: timeWarpError(course, thigh, { ...stride, from: settle, strides: settle + 2 }) };
}
