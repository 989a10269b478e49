import type { Gains } from '@striderule/engine';
import { DAMPING_REACH, STIFFNESS_REACH } from '../design/gain-reach.ts';
import { type LogScale, logAt, valueAtPx } from '../drive/log-scale.ts';
import { frameFor } from '../rule/frame.ts';

/** Where slide and map stand, px: one stiffness scale through both, its ends those of the stride rule. */
export interface GainFrame {
  readonly narrow: boolean;
  readonly width: number;
  readonly height: number;
  readonly x0: number;
  readonly axis: number;
  readonly stiffness: LogScale;
  /** From the foot of the map upwards. */
  readonly damping: LogScale;
  /** The stiffness scale's line; the knob hangs under it. */
  readonly base: number;
  /** Baselines of the rows of marks between slide and map. */
  readonly rows: readonly number[];
  readonly top: number;
  readonly foot: number;
}

const scale = (low: number, high: number, length: number): LogScale => ({
  low,
  decade: length / Math.log10(high / low),
  length,
});

export function gainFrame(available: number, rows: number): GainFrame {
  const { narrow, width, x0, axis } = frameFor(available, [], false);
  const base = 28;
  const pitch = narrow ? 42 : 26;
  const first = base + (narrow ? 58 : 44);
  const top = first + rows * pitch + (narrow ? 12 : 2);
  const tall = narrow ? 264 : 320;
  return {
    ...{ narrow, width, x0, axis, base, top },
    height: top + tall + 46,
    stiffness: scale(STIFFNESS_REACH.low, STIFFNESS_REACH.high, axis),
    damping: scale(DAMPING_REACH.low, DAMPING_REACH.high, tall),
    rows: Array.from({ length: rows }, (_, k) => first + k * pitch),
    foot: top + tall,
  };
}

export const xOf = ({ x0, stiffness }: GainFrame, value: number): number => x0 + logAt(stiffness, value);
export const yOf = ({ foot, damping }: GainFrame, value: number): number => foot - logAt(damping, value);

/** Gains under a point of the map. */
export const gainsAt = ({ x0, stiffness, foot, damping }: GainFrame, x: number, y: number): Gains => ({
  stiffness: valueAtPx(stiffness, x - x0),
  damping: valueAtPx(damping, foot - y),
});
