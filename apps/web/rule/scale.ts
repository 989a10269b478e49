import type { JointName } from '@striderule/engine';

/** One curve on a scale. */
export interface Series {
  readonly key: string;
  /** Named at the curve's end. */
  readonly label: string;
  readonly values: ArrayLike<number>;
  /**
   * main: the chosen task; human: what was asked before the device's own mass; thin: another task laid under; ghost: the saved design;
   * bound: a limit that changes over the stride; asked: what was commanded; crowd: one of many strides, drawn only.
   */
  readonly weight: 'main' | 'human' | 'thin' | 'ghost' | 'bound' | 'asked' | 'crowd';
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

/** A task on the rule. */
export interface RuleModel {
  readonly title: string;
  readonly stance: number;
  readonly scales: readonly Scale[];
  /** Letter → title of the tasks laid under. */
  readonly laid: readonly { readonly letter: string; readonly title: string }[];
}
