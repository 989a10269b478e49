import {
  type Demands,
  type DesignResult,
  type DrivenJoint,
  evaluateDesign,
  type StudyInput,
} from '@striderule/engine';
import { withRatio } from './with-ratio.ts';

/** A design while its ratio moves. */
export interface Moving {
  readonly ratio: number;
  readonly input: StudyInput;
  readonly design: DesignResult;
}

/** One joint's ratio as it slides: computed anew at most once a frame, without rendering anything anew. */
export interface LiveRatio {
  readonly at: () => Moving;
  /** Where it goes: the ratio that the next frame will have computed. */
  readonly wanted: () => number;
  readonly moveTo: (ratio: number) => void;
  /** Called once at once, then after each move. Returns how to stop. */
  readonly follow: (follower: (moving: Moving) => void) => () => void;
}

/** Ratios that the slide reaches: our choice, from less than any low-ratio joint to more than any that is moved by hand. */
export const LEAST_RATIO = 3;
export const LARGEST_RATIO = 150;

/** To a tenth, as the slide is marked. */
export const onSlide = (ratio: number): number =>
  Math.round(10 * Math.min(LARGEST_RATIO, Math.max(LEAST_RATIO, ratio))) / 10;

export function makeLive(
  input: StudyInput,
  demands: Demands,
  joint: DrivenJoint,
  start: DesignResult,
): LiveRatio {
  let now: Moving = {
    ratio: input.leg.joints[joint]?.transmission.ratio ?? Number.NaN,
    input,
    design: start,
  };
  let wanted = now.ratio;
  let waiting = false;
  const followers = new Set<(moving: Moving) => void>();
  return {
    at: () => now,
    wanted: () => wanted,
    moveTo(ratio) {
      if (ratio === wanted || Number.isNaN(ratio)) return;
      wanted = ratio;
      if (waiting) return;
      waiting = true;
      requestAnimationFrame(() => {
        waiting = false;
        const moved = withRatio(input, joint, wanted);
        now = { ratio: wanted, input: moved, design: evaluateDesign(moved, demands) };
        for (const follower of followers) follower(now);
      });
    },
    follow(follower) {
      followers.add(follower);
      follower(now);
      return () => followers.delete(follower);
    },
  };
}
