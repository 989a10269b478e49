import type { Scale } from './scale.ts';

/** Where the rule's parts stand, px. One axis for every scale: ends shared to the pixel. */
export interface Frame {
  readonly narrow: boolean;
  readonly width: number;
  readonly height: number;
  /** Left end of the stride axis, and its length. */
  readonly x0: number;
  readonly axis: number;
  readonly top: number;
  /** One scale: a lane for names and readings, the curves' field, the ticks. */
  readonly band: number;
  readonly lane: number;
  readonly field: number;
}

const TICKS = 9;
const FOOT = 32;

/** 7 px per cent where there is room; on a phone the axis takes the whole width and names move into the lanes. */
export function frameFor(
  available: number,
  scales: readonly Scale[],
  manyReadings: boolean,
  namedParts = false,
): Frame {
  const narrow = available < 640;
  const [left, right] = narrow ? [0, 0] : [140, 96];
  const room = available - left - right;
  const axis = narrow ? Math.floor(room / 50) * 50 : Math.min(700, Math.floor(room / 50) * 50);
  const lane = narrow && manyReadings ? 34 : narrow ? 18 : 15;
  const band = narrow ? (manyReadings ? 92 : 78) : 82;
  // names of the parts stand between the scales and what the hairline says
  const top = namedParts ? 42 : 24;
  return {
    narrow,
    width: narrow ? available : left + axis + right,
    height: top + scales.length * band + FOOT,
    x0: narrow ? Math.floor((available - axis) / 2) : left,
    axis,
    top,
    band,
    lane,
    field: band - lane - TICKS - 2,
  };
}

export const xAt = (frame: Frame, percent: number): number => frame.x0 + (percent * frame.axis) / 100;

export const yAt = (frame: Frame, index: number, scale: Scale, value: number): number =>
  frame.top +
  index * frame.band +
  frame.lane +
  1 +
  frame.field * (1 - (value - scale.low) / (scale.high - scale.low));

/** Foot of the last scale: where the master ticks hang from. */
export const footOf = (frame: Frame): number => frame.height - FOOT;
