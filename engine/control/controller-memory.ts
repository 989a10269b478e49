import type { CompiledController } from './compile-controller.ts';
import { SENSORS } from './controller.ts';
import { copiedSpeed, type SpeedMemory, speedMemory } from './speed-memory.ts';
import { swingState } from './swing-tick.ts';

/** Sensors. */
export const N = SENSORS.length;

/** Places of what is read: a Float64Array of `SENSORS.length`. */
export const INPUT = Object.fromEntries(SENSORS.map((name, i) => [name, i])) as {
  readonly [name in (typeof SENSORS)[number]]: number;
};

/** Places of what comes out, SI. `fault` and `warning` count from 1, 0: none. Limits as bits of LIMIT_BIT. */
export const OUTPUT = {
  kneeTorque: 0,
  ankleTorque: 1,
  /** 1: the phases of this joint are to be shorted. */
  kneeShorted: 2,
  ankleShorted: 3,
  state: 4,
  phase: 5,
  /** What the joint is led to; where nothing leads it, where it is. */
  kneeCommand: 6,
  ankleCommand: 7,
  fault: 8,
  warning: 9,
  kneeLimits: 10,
  ankleLimits: 11,
  /** Largest torque that heat and speed leave, N·m. */
  kneeMost: 12,
  ankleMost: 13,
  /** m/s that maps and schedules go by, and what is to be said of it, as in SPEED_STATUS; 0 and 0 where nothing goes by speed. */
  speed: 14,
  speedStatus: 15,
  /** rad that maps are turned by, up ahead positive, and what is to be said of it, as in SLOPE_STATUS; 0 and 0 where nothing goes by it. */
  slope: 16,
  slopeStatus: 17,
} as const;
export const OUTPUTS = 18;

/** Which limits changed the torque. */
export const LIMIT_BIT = { torque: 1, speed: 2, heat: 4, slew: 8, bus: 16 } as const;

/** Places in the numbers of a controller's state. */
export const HELD = {
  /** Last good value of each sensor. */
  sensor: 0,
  kneeRate: N,
  ankleRate: N + 1,
  phase: N + 2,
  /** Joint angles as the present state began. */
  kneeStart: N + 3,
  ankleStart: N + 4,
  kneeTorque: N + 5,
  ankleTorque: N + 6,
  /** Thigh rate less the thigh's own change, filtered. */
  disagrees: N + 7,
  /** By how much the thigh reads more at contact than its map has there, smoothed over strides. */
  wanders: N + 8,
  /** The same of the last contact alone; NaN where this stance began with none, or with a thigh that gave no number. */
  lean: N + 9,
  /** Torque that the gears may still be wound up by, N·m. */
  kneeWound: N + 10,
  ankleWound: N + 11,
} as const;
const NUMBERS = N + 12;

/** Places in the counts of a controller's state. */
export const COUNT = {
  state: 0,
  /** Ticks since it began. */
  dwell: 1,
  /** First fault that is latched, from 1. */
  fault: 2,
  /** Ticks in a row without a number. */
  missing: 3,
  /** Ticks in a row of the same number; −1: none has been read yet. */
  same: 3 + N,
  /** Ticks in a row of each watch, then whether it has fired, then ticks in a row of each transition. */
  watch: 3 + 2 * N,
} as const;

/** Ticks that stand for "long enough for everything". */
export const LONG = 1 << 30;

/** All that a controller remembers from tick to tick: plain numbers, so that a run can be stopped, kept and gone on with. */
export interface ControllerState {
  readonly numbers: Float64Array;
  readonly counts: Int32Array;
  /** As in SWING. */
  readonly swing: Float64Array;
  /** Where maps or schedules go by speed. */
  readonly speed?: SpeedMemory;
}

/** A controller before its first tick: in its initial state, every dwell time over, nothing read yet. */
export function controllerState(of: CompiledController): ControllerState {
  const counts = new Int32Array(COUNT.watch + 2 * of.watches.length + of.target.length);
  counts[COUNT.state] = of.initial;
  counts[COUNT.dwell] = LONG;
  for (let i = 0; i < N; i++) counts[COUNT.same + i] = -1;
  const speed = speedMemory(of);
  return { numbers: new Float64Array(NUMBERS), counts, swing: swingState(), ...(speed && { speed }) };
}

/** One like it that goes on from here by itself. */
export function copiedState(of: CompiledController, state: ControllerState): ControllerState {
  const { numbers, counts, swing, speed } = state;
  return {
    numbers: numbers.slice(),
    counts: counts.slice(),
    swing: swing.slice(),
    ...(speed && { speed: copiedSpeed(of, speed) }),
  };
}
