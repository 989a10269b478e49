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

/** How the controller reads the stride phase from the thigh. */
export type PhaseMethod = 'latch' | 'piecewise' | 'plane' | 'oscillator';

export const PHASE_METHODS: readonly PhaseMethod[] = ['latch', 'piecewise', 'plane', 'oscillator'];

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

/**
 * A phase in its own measure turned into stride phase: it is run along the reference thigh at an even pace, and what it says there
 * at each share of the stride is what that share will be called. `turn`: its measure of a whole stride, 0 where it starts anew at
 * contact by itself.
 */
function asStridePhase(
  raw: PhaseCourse,
  thigh: ThighOverStride,
  { stance, strideTime, dt }: { readonly stance: number; readonly strideTime: number; readonly dt: number },
  settle: number,
  turn: number,
): PhaseCourse {
  const each = Math.round(strideTime / dt);
  const even = raw(thighSignal(thigh, stance, evenPace(each * dt), dt, (settle + 1) * each + 1));
  const start = even[settle * each];
  const told = new Float64Array(each);
  for (let j = 0; j < each; j++) {
    const there = even[settle * each + j] - start;
    told[j] = j > 0 && there < told[j - 1] ? told[j - 1] : there;
  }
  const middle = told[Math.round(((1 + stance) / 2) * each)];
  return (signal) =>
    raw(signal).map((own, k) => {
      if (signal.loaded[k] === 1) return Number.NaN;
      const away = own - start - middle;
      const said = middle + (turn === 0 ? away : away - turn * Math.round(away / turn));
      let low = 0;
      let high = each - 1;
      if (said <= told[low]) return 0;
      if (said >= told[high]) return 1;
      while (high - low > 1) {
        const half = (low + high) >> 1;
        if (told[half] < said) low = half;
        else high = half;
      }
      return (low + (said - told[low]) / (told[high] - told[low])) / each;
    });
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
  const angles = Array.from({ length: 1000 }, (_, k) => over(k / 1000).value);
  const [low, high] = [Math.min(...angles), Math.max(...angles)];
  if (method === 'piecewise') {
    const lines = { contact: angles[0], back: low, turn: angles.indexOf(low) / 1000 };
    const raw: PhaseCourse = (signal) => piecewiseCourse(lines, signal);
    return { course: asStridePhase(raw, over, stride, 2, 0), settle: 2 };
  }
  const omega = (2 * Math.PI) / stride.strideTime;
  if (method === 'plane') {
    const raw: PhaseCourse = (signal) => planeCourse((low + high) / 2, omega, signal);
    return { course: asStridePhase(raw, over, stride, 2, 2 * Math.PI), settle: 2 };
  }
  const mean = angles.reduce((sum, angle) => sum + angle, 0) / angles.length;
  const start = Float64Array.of(0, omega, mean, (high - low) / 2, 0);
  const raw: PhaseCourse = (signal) => oscillatorCourse(start, GAINS, signal);
  return { course: asStridePhase(raw, over, stride, 20, 2 * Math.PI), settle: 20 };
}
