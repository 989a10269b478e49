import type { Kind } from '../quantity/dimension.ts';
import type { MetricFunction } from './metric-value.ts';

/** One entry of the catalogue: what a requirement may name. */
export interface Metric {
  readonly title: string;
  readonly kind: Kind;
  /** SI unit as shown. */
  readonly unit: string;
  readonly formula: string;
  /** Chapter and heading in docs/. */
  readonly chapter: string;
  /** Inputs it reads, relative to the joint, such as `transmission.ratio`; `leg.` and `wearer.` paths are absolute. */
  readonly reads: readonly string[];
  /** Whose it is where it is not either joint's: only the knee's, or the whole leg's. */
  readonly only?: 'knee' | 'leg';
  readonly cautions: readonly string[];
  readonly value: MetricFunction;
}
