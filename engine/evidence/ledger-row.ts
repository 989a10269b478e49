import type { Requirement } from './requirement.ts';

export type RequirementState = 'met' | 'not met' | 'open' | 'stale';

/** What a number was made from, one step away: an input of the study by name, value and unit. */
export interface LedgerInput {
  /** Path, such as `joints.ankle.transmission.ratio`, or `tasks.walk-natural`. */
  readonly path: string;
  readonly value: number | string;
  readonly unit: string;
}

/** What a line that is judged by walks rests on. */
export interface WalkEvidence {
  /**
   * The same figure with the thigh prescribed and with the thigh led: the two ends between which a wearer's own hip lies as far as a model
   * knows, and no confidence interval. Left out where one end alone is asked for, or not both are known.
   */
  readonly bracket?: { readonly prescribed: number; readonly led: number };
  /** What has changed since it was walked; left out: nothing. */
  readonly changed?: string;
}

/** One requirement with what is known about it. SI numbers in `unit`. */
export interface LedgerRow {
  readonly requirement: Requirement;
  /** What the metric is, in words, such as `Peak motor torque`. */
  readonly title: string;
  /** SI unit of the numbers, such as `N·m`. */
  readonly unit: string;
  /** null: not predicted, and `openBecause` says why. */
  readonly predicted: number | null;
  /** 5th–95th percentile by linear propagation of the inputs' spreads; null where none are given. */
  readonly interval: {
    readonly low: number;
    readonly high: number;
    readonly level: 0.9;
    readonly method: 'linear propagation';
  } | null;
  /** Where a walk judges it. */
  readonly walk?: WalkEvidence;
  readonly measured: null;
  readonly shown: null;
  /** Room to the bound in the bound's own unit; positive is room. null where not predicted. */
  readonly margin: number | null;
  readonly state: RequirementState;
  readonly openBecause?: string;
  /** Where the worst value occurs: task title and per cent of the stride. */
  readonly at?: string;
  /** Formula as in the docs, in plain text. */
  readonly formula: string;
  /** Chapter anchor, such as `drive.md#motor-torque`. */
  readonly chapter: string;
  readonly inputs: readonly LedgerInput[];
  /** Cautions that go with the number. */
  readonly cautions: readonly string[];
}
