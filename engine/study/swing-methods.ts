import type { OscillatorGains } from '../control/adaptive-oscillator.ts';
import {
  latchCourse,
  oscillatorCourse,
  type PhaseCourse,
  piecewiseCourse,
  planeCourse,
} from '../control/phase-course.ts';
import type { SwingMap } from '../control/swing-map.ts';
import { evenPace, type ThighOverStride, thighSignal } from '../control/time-warp.ts';
import { type Trajectory, trajectoryAt } from '../control/trajectory.ts';
import type { PhaseMethod } from './phase-methods.ts';

/** Gains that learn a walk within a few strides. Our choice. */
const GAINS = { phase: 8, frequency: 16, amplitude: 2 };

/** A method ready for one stride: stride phase in swing, NaN in stance, and the strides it needs before it is what it will be. */
export interface ReadyMethod {
  readonly course: PhaseCourse;
  readonly settle: number;
}

/** A thigh trajectory as a path without end. */
export function overStrides(thigh: Trajectory): ThighOverStride {
  const out = new Float64Array(3);
  return (x) => {
    trajectoryAt(thigh, x - Math.floor(x), out, 0);
    return { value: out[0], slope: out[1] };
  };
}

/** What a phase in its own measure says along a stride at an even pace: told[j] at the share j/n of the stride, 0 at contact. */
export interface PhaseNames {
  /** Its measure at contact. */
  readonly start: number;
  readonly told: Float64Array;
}

/**
 * A phase is run along the reference thigh at an even pace, and what it says there at each share of the stride is what that share will be
 * called.
 */
export function phaseNames(
  raw: PhaseCourse,
  thigh: ThighOverStride,
  { stance, strideTime, dt }: { readonly stance: number; readonly strideTime: number; readonly dt: number },
  settle: number,
): PhaseNames {
  const each = Math.round(strideTime / dt);
  const even = raw(thighSignal(thigh, stance, evenPace(each * dt), dt, (settle + 1) * each + 1));
  const start = even[settle * each];
  const told = new Float64Array(each);
  for (let j = 0; j < each; j++) {
    const there = even[settle * each + j] - start;
    told[j] = j > 0 && there < told[j - 1] ? told[j - 1] : there;
  }
  return { start, told };
}

/** Share of the stride that is called so, 0 … 1. */
export function strideShare(told: Float64Array, said: number): number {
  let low = 0;
  let high = told.length - 1;
  if (said <= told[low]) return 0;
  if (said >= told[high]) return 1;
  while (high - low > 1) {
    const half = (low + high) >> 1;
    if (told[half] < said) low = half;
    else high = half;
  }
  return (low + (said - told[low]) / (told[high] - told[low])) / told.length;
}

/** A phase in its own measure turned into stride phase of swing. `turn`: its measure of a whole stride, 0 where it starts anew at contact by itself. */
function asStridePhase(
  raw: PhaseCourse,
  thigh: ThighOverStride,
  stride: { readonly stance: number; readonly strideTime: number; readonly dt: number },
  settle: number,
  turn: number,
): PhaseCourse {
  const { start, told } = phaseNames(raw, thigh, stride, settle);
  const middle = told[Math.round(((1 + stride.stance) / 2) * told.length)];
  return (signal) =>
    raw(signal).map((own, k) => {
      if (signal.loaded[k] === 1) return Number.NaN;
      const away = own - start - middle;
      return strideShare(told, middle + (turn === 0 ? away : away - turn * Math.round(away / turn)));
    });
}

/** What phase plane and oscillator know of a reference thigh, rad and rad/s. */
export interface ThighRhythm {
  /** Middle of its swing. */
  readonly centre: number;
  readonly omega: number;
  readonly angles: readonly number[];
  readonly low: number;
  /** An oscillator that has heard nothing yet, with its gains. */
  readonly oscillator: Float64Array;
  readonly gains: OscillatorGains;
}

/** Strides in which an oscillator learns a walk. */
export const OSCILLATOR_SETTLES = 20;

export function thighRhythm(over: ThighOverStride, strideTime: number): ThighRhythm {
  const angles = Array.from({ length: 1000 }, (_, k) => over(k / 1000).value);
  const [low, high] = [Math.min(...angles), Math.max(...angles)];
  const omega = (2 * Math.PI) / strideTime;
  const mean = angles.reduce((sum, angle) => sum + angle, 0) / angles.length;
  return {
    centre: (low + high) / 2,
    omega,
    angles,
    low,
    oscillator: Float64Array.of(0, omega, mean, (high - low) / 2, 0),
    gains: GAINS,
  };
}

/** One method made ready for the reference thigh of a map. */
export function readyMethod(
  method: PhaseMethod,
  map: SwingMap,
  thigh: Trajectory,
  stride: { readonly stance: number; readonly strideTime: number; readonly dt: number },
): ReadyMethod {
  if (method === 'latch') return { course: (signal) => latchCourse(map, signal), settle: 0 };
  const over = overStrides(thigh);
  const { angles, low, centre, omega, oscillator, gains } = thighRhythm(over, stride.strideTime);
  if (method === 'piecewise') {
    const lines = { contact: angles[0], back: low, turn: angles.indexOf(low) / 1000 };
    const raw: PhaseCourse = (signal) => piecewiseCourse(lines, signal);
    return { course: asStridePhase(raw, over, stride, 2, 0), settle: 2 };
  }
  if (method === 'plane') {
    const raw: PhaseCourse = (signal) => planeCourse(centre, omega, signal);
    return { course: asStridePhase(raw, over, stride, 2, 2 * Math.PI), settle: 2 };
  }
  const raw: PhaseCourse = (signal) => oscillatorCourse(oscillator, gains, signal);
  return {
    course: asStridePhase(raw, over, stride, OSCILLATOR_SETTLES, 2 * Math.PI),
    settle: OSCILLATOR_SETTLES,
  };
}
