import type { Stride } from '../gait/stride.ts';
import type { PassiveSetup, WalkSetup } from '../walk/walk-setup.ts';

/** A state that the controller came into, and when, s. */
export interface PassedState {
  readonly state: string;
  readonly time: number;
}

/** A walk before its first step. */
export interface PlannedWalk<Setup extends WalkSetup | PassiveSetup = WalkSetup | PassiveSetup> {
  readonly setup: Setup;
  readonly stride: Stride;
  /** Stride time by the regression over stature, beside the L/v that is walked, s; of a stride that keeps its own time, that. */
  readonly regressionTime: number;
  readonly notes: readonly string[];
  /** Filled while it is walked: of a way that is told as a whole, under a controller that has states. */
  readonly passed?: readonly PassedState[];
}
