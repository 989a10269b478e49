import { frameFor } from '../rule/frame.ts';
import type { LogScale } from './log-scale.ts';

/** Where the slide's parts stand, px: the same left and right ends as the stride rule. */
export interface SlideFrame {
  readonly narrow: boolean;
  readonly width: number;
  readonly height: number;
  readonly x0: number;
  readonly axis: number;
  readonly ratio: LogScale;
  /** The ratio scale's line; the handle hangs under it. */
  readonly ratioBase: number;
  readonly pairs: readonly PairFrame[];
}

export interface PairFrame {
  readonly scale: LogScale;
  /** Baselines of the label rows over and under the pair, and the seam between the two scales. */
  readonly above: number;
  readonly seam: number;
  readonly below: number;
}

/** Two decades over the whole axis, on every scale. */
const DECADES = 2;
export const FIXED_HEIGHT = 30;
export const STRIP_HEIGHT = 26;

export function slideFrame(available: number, lows: readonly number[]): SlideFrame {
  const { narrow, width, x0, axis } = frameFor(available, [], false);
  const decade = axis / DECADES;
  const scale = (low: number): LogScale => ({ low, decade, length: axis });
  const ratioBase = 28;
  const first = ratioBase + 40;
  const pitch = narrow ? 130 : 100;
  const pairs = lows.map((low, k): PairFrame => {
    const top = first + k * pitch + (narrow ? 18 : 0);
    const seam = top + 14 + FIXED_HEIGHT;
    return { scale: scale(low), above: top + 10, seam, below: seam + STRIP_HEIGHT + 13 };
  });
  return {
    narrow,
    width,
    height: (pairs.at(-1)?.below ?? 0) + (narrow ? 22 : 8),
    x0,
    axis,
    // two decades that hold the slide's reach
    ratio: scale(2),
    ratioBase,
    pairs,
  };
}
