import type { JointName } from './stride.ts';

/** Direction in which a recorded column grows. The engine's own: flexion, dorsiflexion, generation, forward, up. */
export type FlexionSign = 'flexion' | 'extension';
export type AnkleSign = 'dorsiflexion' | 'plantarflexion';

export type AngleUnit = 'deg' | 'rad';
export type MomentUnit = 'N*m/kg' | 'N*m' | 'N*mm/kg' | 'N*mm';
export type PowerUnit = 'W/kg' | 'W';
/** BW: body weights, of the person recorded. */
export type ForceUnit = 'BW' | '%BW' | 'N' | 'N/kg';

/** One joint's columns. A column is named by its header, or by its place counted from 1. */
export interface JointRecipe<Sign extends string> {
  readonly angle: { readonly column: string | number; readonly unit: AngleUnit; readonly positive: Sign };
  /** Internal joint moment. What a source calls an external flexion moment is an internal extension moment. */
  readonly moment?: {
    readonly column: string | number;
    readonly unit: MomentUnit;
    readonly positive: Sign;
  };
  /** A witness for moment × velocity, never an input. */
  readonly power?: {
    readonly column: string | number;
    readonly unit: PowerUnit;
    readonly positive: 'generation' | 'absorption';
  };
}

/**
 * How a file of the laboratory's own strides is read: with it and the untouched file anybody can redo the import.
 *
 * The file holds one stride over 0–100 % (`percent`), or a time series (`time`) of one stride or, with `stride`, of many.
 * SI units in this record; the units of the file's columns stand beside them.
 */
export interface Recipe {
  /** Shown wherever the stride is shown; one that begins with "demo data" marks invented data. */
  readonly notice?: string;
  readonly delimiter: ',' | ';' | 'tab';
  readonly decimal: '.' | ',';
  /**
   * Line of the column names, counted from 1; 0 where the file has none and columns are named by their place. Left out: the
   * first line that is neither empty nor a `#` comment.
   */
  readonly namesLine?: number;
  /** First line of data; lines between the names and it (units, say) are skipped. Left out: the line after the names. */
  readonly dataLine?: number;
  /** Column of per cent of stride, 0–100, both ends included. Then `strideTime` says how long the stride took. */
  readonly percent?: string | number;
  readonly time?: { readonly column: string | number; readonly unit: 's' | 'ms' };
  /** Column that numbers the strides; a new number begins a new stride. Left out: the whole file is one stride. */
  readonly stride?: string | number;
  /**
   * Which row is a stride's 100 %. `next row`: the first row of the stride that follows, as in a recording that was only
   * numbered; the last stride then has no end and is left out. `last row`: its own last row, as in strides cut out one by one.
   */
  readonly strideEnds: 'next row' | 'last row';
  /** Strides that are not to be used, and why: stumbles, gaps, the rows before the first step. */
  readonly leaveOut: readonly { readonly stride: number; readonly because: string }[];
  /** s; needed with `percent`, and only then. */
  readonly strideTime?: number;
  /** Share of the stride in stance, or the vertical ground force, N, below which the foot is taken to be off the ground. */
  readonly stance: number | { readonly forceBelow: number };
  /** m/s */
  readonly speed?: number;
  /** Of the ground, rad, up ahead positive. */
  readonly incline?: number;
  /** Of the person recorded, kg; needed where a column is not per kilogram or per body weight. */
  readonly bodyMass?: number;
  /** The Fourier series is cut here, Hz. */
  readonly cutOff: number;
  /** Share of its range by which a curve may fail to close between 0 and 100 %. */
  readonly largestGap: number;
  /** Checks whose finding is right for this recording, by id such as `sign ankle.angle`, and why. */
  readonly accept: readonly { readonly check: string; readonly because: string }[];
  readonly hip?: JointRecipe<FlexionSign>;
  readonly knee?: JointRecipe<FlexionSign>;
  readonly ankle?: JointRecipe<AnkleSign>;
  /** Thigh segment against the vertical, zero hanging straight down. */
  readonly thigh?: {
    readonly column: string | number;
    readonly unit: AngleUnit;
    readonly positive: 'forward' | 'backward';
  };
  readonly groundForce?: {
    readonly vertical: {
      readonly column: string | number;
      readonly unit: ForceUnit;
      readonly positive: 'up' | 'down';
    };
    readonly foreAft?: {
      readonly column: string | number;
      readonly unit: ForceUnit;
      readonly positive: 'forward' | 'backward';
    };
  };
  /** Who was recorded, in words that identify nobody. */
  readonly person?: { readonly who: string; readonly count?: number; readonly height?: number };
}

export type ChannelName =
  | `${JointName}.${'angle' | 'moment' | 'power'}`
  | 'thigh.angle'
  | 'groundForce.vertical'
  | 'groundForce.foreAft';
