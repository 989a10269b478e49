import type { JointName } from './stride.ts';

/** How often and how long a task comes in the schedule. */
export interface Duty {
  /** Strides of one leg in the schedule; time = strides × stride time. */
  readonly strides?: number;
  /** Or a duration, s. */
  readonly duration?: number;
}

/** A task with a whole stride: curves, so speed, torque, energy and heat follow. */
export interface StrideTask {
  readonly kind: 'stride';
  readonly id: string;
  readonly title: string;
  /** Id of the stride in the study's strides. */
  readonly stride: string;
  /** Walk at this speed, m/s, by interpolation between the level-walking classes; left out: the stride's own. */
  readonly speed?: number;
  readonly surface?: 'overground' | 'treadmill';
  /** k in 1 + k·SD/|M|: how many between-subject deviations of moment the leg must cover. 0 is the mean person. */
  readonly coverage: number;
  /** Which published peak ankle moment sizes the leg. `curve` takes the curve's own, low, peak. */
  readonly ankleSizing: 'able-bodied' | 'intact side' | 'curve';
  readonly duty: Duty;
}

/** A published range; both ends equal where one value is printed. */
export interface Range {
  readonly low: number;
  readonly high: number;
}

/** A task of which only peaks are published: a place on the torque-speed plane. No curve: no heat, no energy. */
export interface PeaksTask {
  readonly kind: 'peaks';
  readonly id: string;
  readonly title: string;
  readonly joints: {
    readonly [joint in JointName]?: {
      /** Peak |moment| per body mass, N·m/kg, and what it does there. */
      readonly moment?: Range & { readonly action: string; readonly source: string };
      /** Peak |angular velocity|, rad/s. */
      readonly speed?: Range & { readonly source: string };
    };
  };
  readonly duty: Duty;
  readonly caveats: readonly string[];
}

/** Standing: asks for stiffness and time, not for speed. */
export interface StandingTask {
  readonly kind: 'standing';
  readonly id: string;
  readonly title: string;
  /** Share of body weight on this leg, 0–1. */
  readonly loadShare: number;
  /** Forward offset of the centre of pressure from the ankle held throughout, m. */
  readonly lean: number;
  readonly duty: Duty;
}

export type Task = StrideTask | PeaksTask | StandingTask;
