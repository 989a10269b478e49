import { OSCILLATOR, type OscillatorGains, oscillatorStep } from './adaptive-oscillator.ts';
import { derivativePhase } from './phase-plane.ts';
import { onWayForward, type PiecewiseMap, piecewisePhase } from './piecewise-phase.ts';
import type { SwingMap } from './swing-map.ts';
import { beginSwing, SWING, swingState, swingTick } from './swing-tick.ts';
import { trajectoryAt } from './trajectory.ts';

/** What the controller reads of the thigh, tick by tick. */
export interface ThighSignal {
  /** rad */
  readonly thigh: Float64Array;
  /** rad/s */
  readonly rate: Float64Array;
  /** 1 where the leg stands on the ground. */
  readonly loaded: Uint8Array;
  /** s */
  readonly dt: number;
}

/** Where in the stride a controller believes to be, for each tick: unit of the method, NaN where it says nothing. */
export type PhaseCourse = (signal: ThighSignal) => Float64Array;

/** Stride phase of the latched thigh map, 0 … 1; NaN in stance, which is not its business. Poses at toe-off are the trajectory's own. */
export function latchCourse(map: SwingMap, { thigh, rate, loaded, dt }: ThighSignal): Float64Array {
  const state = swingState();
  const pose = new Float64Array(6);
  trajectoryAt(map.knee, map.toeOff, pose, 0);
  trajectoryAt(map.ankle, map.toeOff, pose, 3);
  const course = new Float64Array(thigh.length).fill(Number.NaN);
  for (let k = 1; k < thigh.length; k++) {
    if (loaded[k] === 1) continue;
    if (loaded[k - 1] === 1) {
      const still = { knee: pose[0], kneeRate: pose[1], ankle: pose[3], ankleRate: pose[4] };
      beginSwing(map, state, { thigh: thigh[k], ...still }, 1);
    }
    swingTick(map, state, thigh[k], rate[k], dt);
    course[k] = state[SWING.phase];
  }
  return course;
}

/** Phase of the piecewise-linear map, 0 … 1, in the map's own measure. Begins as standing. */
export function piecewiseCourse(map: PiecewiseMap, { thigh, rate, loaded }: ThighSignal): Float64Array {
  let forward = false;
  return thigh.map((angle, k) => {
    forward = onWayForward(map, forward, angle, rate[k], loaded[k] === 1, loaded[Math.max(0, k - 1)] === 1);
    return piecewisePhase(map, forward, angle);
  });
}

/** Phase-plane phase, rad, unwrapped. */
export function planeCourse(centre: number, omega: number, { thigh, rate }: ThighSignal): Float64Array {
  let turns = 0;
  let before = 0;
  return thigh.map((angle, k) => {
    const phase = derivativePhase(angle, rate[k], centre, omega);
    if (k > 0) turns -= Math.round((phase - before) / (2 * Math.PI));
    before = phase;
    return phase + 2 * Math.PI * turns;
  });
}

/** The oscillator's phase, rad, from this state on, which is left as it was. */
export function oscillatorCourse(
  state: Float64Array,
  gains: OscillatorGains,
  { thigh, dt }: ThighSignal,
): Float64Array {
  const own = Float64Array.from(state);
  return thigh.map((angle) => {
    oscillatorStep(own, gains, angle, dt);
    return own[OSCILLATOR.phase];
  });
}
