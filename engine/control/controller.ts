import type { DrivenJoint } from '../gait/stride.ts';

/**
 * What a controller reads each tick, in this order. SI; `load` N along the shank, `elapsed` s since the tick before, `release` 0 or 1.
 * `knee` and `ankle` are the angles that close the loop; `kneeSecond` and `ankleSecond` the same angles by the encoder on the other side of
 * the gears.
 */
export const SENSORS = [
  'thigh',
  'thighRate',
  'knee',
  'ankle',
  'load',
  'kneeWinding',
  'ankleWinding',
  'bus',
  'elapsed',
  'release',
  'kneeSecond',
  'ankleSecond',
] as const;
export type Sensor = (typeof SENSORS)[number];

/** What a transition may look at: what is read, filtered joint speed, and the phase of the stride. `load` as a share of body weight. */
export const SIGNALS = [
  'load',
  'thigh',
  'thighRate',
  'knee',
  'kneeRate',
  'ankle',
  'phase',
  'release',
] as const;
export type Signal = (typeof SIGNALS)[number];

/** Holds while above < value < below; one end or both. */
export interface Condition {
  readonly signal: Signal;
  readonly above?: number;
  readonly below?: number;
}

/**
 * From one state to another once all conditions have held for `hold` s without a break and the state has lasted `after` s. Of several
 * that are due in one tick the least `priority` goes first.
 */
export interface Transition {
  readonly from: string;
  readonly to: string;
  readonly when: readonly Condition[];
  readonly hold: number;
  readonly after: number;
  readonly priority: number;
}

/**
 * What one joint does in a state.
 *
 * - `spring`: τ = K·(θ_eq − θ) − B·θ̇. With `approach` θ_eq sets out from where the joint is and goes to its place at that many rad/s.
 *   A free joint has neither K nor B, a damped one no K.
 * - `schedule`: K, θ_eq and B over the stance phase, under the name of a schedule.
 * - `thigh`: τ = K·(q_d − θ) + B·(q̇_d − θ̇) + w·τ_own, q_d from the thigh by the state's map; τ_own is what the leg's own weight and inertia
 *   ask for on that way, as in `swingTorque`, and w, `carries`, the share of it that is asked for ahead; left out: none.
 * - `shorted`: no torque from software; the electronics short the phases, which brakes without any sensor.
 */
export type Behaviour =
  | {
      readonly kind: 'spring';
      readonly stiffness: number;
      readonly damping: number;
      readonly equilibrium: number;
      readonly approach?: number;
    }
  | { readonly kind: 'schedule'; readonly schedule: string }
  | {
      readonly kind: 'thigh';
      readonly stiffness: number;
      readonly damping: number;
      readonly carries?: number;
    }
  | { readonly kind: 'shorted' };

/** One state of the machine. */
export interface ControlState {
  readonly name: string;
  /** What it is meant for: the checker finds no rest in a state that is not meant for the load it bears. */
  readonly bears: 'load' | 'no load' | 'either';
  /** Name of the map from thigh to phase. */
  readonly phase?: string;
  readonly knee: Behaviour;
  readonly ankle: Behaviour;
  /** Where a fault leads from here; a state without it is itself safe and latched. */
  readonly safe?: string;
}

/**
 * What is wrong with a sensor.
 *
 * - `missing`: no number for longer than `time`
 * - `stuck`: the same number to the last bit for longer than `time`
 * - `jump`: a step of more than `limit` within one tick
 * - `outside`: below `low` or above `high` for longer than `time`
 * - `disagrees`: of `thighRate`, it and the thigh's own change differ by more than `limit`, both filtered; of a second encoder, the two angles
 *   of the joint differ by more than `limit` and what the gears wind up under the torque that is asked; for longer than `time`
 * - `wanders`: of the thigh, what it reads at contact has gone from what its map has there by more than `limit`, smoothed over strides
 */
export interface Watch {
  readonly name: string;
  readonly sensor: Sensor;
  readonly detect: 'missing' | 'stuck' | 'jump' | 'outside' | 'disagrees' | 'wanders';
  readonly time: number;
  readonly limit?: number;
  readonly low?: number;
  readonly high?: number;
  /** `safe`: to the safe state, latched; `warn`: shown, the controller goes on. */
  readonly reaction: 'safe' | 'warn';
  /** Another state than the present one's own `safe`. */
  readonly to?: string;
  /** s from the first bad sample to the safe torque, as declared for `safe`; checked against what the machine needs. */
  readonly within?: number;
}

/** Applied last, in this order; each that acts is recorded. rad, rad/s, N·m, K. */
export interface JointLimits {
  readonly torque: number;
  /** Range of motion, and the width over which torque towards its end fades to nothing. */
  readonly from: number;
  readonly to: number;
  readonly margin: number;
  /** Torque that speeds the joint up fades to nothing between the two. */
  readonly fadeSpeed: number;
  readonly speed: number;
  /** Torque fades to nothing between the two winding temperatures. */
  readonly warm: number;
  readonly hot: number;
  /**
   * W that the joint may return to the bus by braking: so much up to `fadeBus` V, nothing from `bus` V on, a straight line between. Left
   * out: not limited.
   */
  readonly returned?: { readonly power: number; readonly fadeBus: number; readonly bus: number };
  /** N·m/s. */
  readonly slew: number;
}

/** K, θ_eq and B over the stance phase, joined by straight lines in K, K·θ_eq and B. */
export interface SchedulePoint {
  readonly at: number;
  readonly stiffness: number;
  readonly equilibrium: number;
  readonly damping: number;
}

/**
 * A schedule as written; or fitted to the stance of tasks, with a damper added, N·m·s/rad. With `stiffness`, N·m/rad, spring and damper are
 * those numbers throughout and only the equilibrium is fitted, to one stride's own motion. `bySpeed`: one schedule for each task, blended.
 */
export type ScheduleChoice =
  | { readonly points: readonly SchedulePoint[] }
  | {
      readonly fit: {
        readonly joint: DrivenJoint;
        readonly tasks?: readonly string[];
        readonly bySpeed?: true;
        readonly stiffness?: number;
        readonly damping: number;
      };
    };

/**
 * Which task's thigh is the map, over which part of the stride, and whether it is finished by time. Several tasks, the slowest first: one map
 * for each, blended by the speed that the leg reads.
 */
export type PhaseChoice = (
  | { readonly task: string }
  | {
      readonly tasks: readonly string[];
    }
) & {
  readonly part: 'stance' | 'swing';
  readonly finish: boolean;
  /** Share of the thigh's way at which the phase is full, and the finish begins; left out: nine tenths. */
  readonly full?: number;
};

/** How the leg's own reading of its speed is taken up. m/s; loads as shares of body weight. */
export interface SpeedChoice {
  /** Before the first stance that is read, and again after standing. */
  readonly start: number;
  /** Most that it changes from one stance to the next. */
  readonly change: number;
  /** A stance begins to be read above the one and ends below the other. */
  readonly loaded: number;
  readonly unloaded: number;
}

/** How the leg's own reading of the ground's slope is taken up. rad, up ahead positive. */
export interface SlopeChoice {
  /** Readings that are taken up; any other leaves the slope as it is. */
  readonly from: number;
  readonly to: number;
  /** Up to here either way the ground is taken for level, from twice as much on for what it is. */
  readonly level: number;
  /** Share of each reading in what is smoothed over stances, 0 … 1. */
  readonly share: number;
  /** Most that the slope changes from one stance to the next. */
  readonly change: number;
  /** After so many stances in a row without a reading the ground is taken for level again. */
  readonly hold: number;
}

/** A whole controller as data: what the leg does in every state, when it changes, what it does when something is wrong. */
export interface Controller {
  readonly name: string;
  readonly version: string;
  /** Cut-off of the speed's filter, Hz. */
  readonly filter: number;
  readonly initial: string;
  /** Left out: no map and no schedule goes by speed. */
  readonly speed?: SpeedChoice;
  /** Left out: the ground is taken for level, or for what the controller is told. */
  readonly slope?: SlopeChoice;
  readonly phases: { readonly [name: string]: PhaseChoice };
  readonly schedules: { readonly [name: string]: ScheduleChoice };
  readonly states: readonly ControlState[];
  readonly transitions: readonly Transition[];
  readonly watches: readonly Watch[];
  readonly limits: { readonly [joint in DrivenJoint]: JointLimits };
  /** What it is known not to do. */
  readonly knownLimits: readonly string[];
}
