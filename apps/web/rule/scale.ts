import type { JointName } from '@striderule/engine';

/** One curve on a scale. */
export interface Series {
  readonly key: string;
  /** Named at the curve's end. */
  readonly label: string;
  readonly values: ArrayLike<number>;
  /** Value at a place, per cent, where that is told more finely than by `values`; left out: the nearest of them. */
  readonly read?: (percent: number) => number;
  /**
   * main: the chosen task; human: what was asked before the device's own mass; thin: another task laid under; ghost: the saved design;
   * bound: a limit that changes over the stride; asked: what was commanded; crowd: one of many strides, drawn only; kept: the same of a walk that is kept.
   */
  readonly weight: 'main' | 'human' | 'thin' | 'ghost' | 'bound' | 'asked' | 'crowd' | 'kept';
  /** Which colour and dash. */
  readonly tone: JointName | 'force';
  /** a, b, c … of a task laid under. */
  readonly letter?: string;
}

export interface Limit {
  readonly value: number;
  readonly label: string;
}

/** One scale of the rule: a quantity over the stride, in the unit people read. */
export interface Scale {
  readonly key: string;
  readonly name: string;
  readonly unit: string;
  /** Which way is positive. */
  readonly note: string;
  readonly low: number;
  readonly high: number;
  readonly series: readonly Series[];
  readonly limits: readonly Limit[];
  readonly decimals: number;
  /** Why nothing is drawn, where nothing is. */
  readonly gap?: string;
  /** The scale holds still while its curves move: what passes its ends is cut there, and said. */
  readonly still?: boolean;
}

/** A part of what is told, from one share of the axis to another. */
export interface Part {
  readonly name: string;
  readonly from: number;
  readonly to: number;
  readonly look: PartLook;
}

/** How its ground looks: tinted as stance is, bare as swing, or as what is safe; and woven, so that parts of one tint are told apart, 0: not. */
export interface PartLook {
  readonly tint: 'stance' | 'swing' | 'safe';
  readonly weave: number;
}

/** What lies along the axis: a stride with one toe-off, share of it; or what falls into other parts. */
export type Along = { readonly stance: number } | Parted;

/** A stride, or so many seconds, and its parts; none: there is nothing to tell apart. */
export interface Parted {
  readonly parts: readonly Part[];
  readonly seconds?: number;
}

/** A task on the rule. */
export type RuleModel = Scales & Along;

interface Scales {
  readonly title: string;
  readonly scales: readonly Scale[];
  /** Letter → title of the tasks laid under. */
  readonly laid: readonly { readonly letter: string; readonly title: string }[];
}
