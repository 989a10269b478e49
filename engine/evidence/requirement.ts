import type { DrivenJoint } from '../gait/stride.ts';

/** One line of requirements.yaml: a metric, a bound, where it applies, and why. Numbers in the metric's SI unit. */
export interface Requirement {
  readonly id: string;
  /** Name in the metric catalogue, such as `peakMotorTorque`. */
  readonly metric: string;
  /** Left out for metrics of the whole leg. */
  readonly joint?: DrivenJoint;
  /** Task id; left out: every task that has the metric, the worst counts. */
  readonly task?: string;
  /** For what a walk judges, m/s; left out: every speed that is walked, the worst counts. */
  readonly speed?: number;
  /** How a walk's thigh goes; left out: both ends of the bracket. */
  readonly thigh?: 'prescribed' | 'led';
  /** What a walk runs; left out: the clock. */
  readonly control?: 'clock' | 'study';
  readonly bound: { readonly kind: 'at most' | 'at least'; readonly value: number };
  /** Source or reason, shown with the verdict. */
  readonly because: string;
}
