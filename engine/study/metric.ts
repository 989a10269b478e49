import type { Kind } from '../quantity/dimension.ts';
import type { MetricFunction } from './metric-value.ts';

/** What the catalogue says of anything that a requirement may name. */
export interface CatalogueEntry {
  readonly title: string;
  readonly kind: Kind;
  /** SI unit as shown. */
  readonly unit: string;
  readonly formula: string;
  /** Chapter and heading in docs/. */
  readonly chapter: string;
  /** Whose it is where it is not either joint's: only the knee's, or the whole leg's. */
  readonly only?: 'knee' | 'leg';
  readonly cautions: readonly string[];
}

/** One entry that is worked out from the design alone. */
export interface Metric extends CatalogueEntry {
  /** Inputs it reads, relative to the joint, such as `transmission.ratio`; `leg.` and `wearer.` paths are absolute. */
  readonly reads: readonly string[];
  readonly value: MetricFunction;
}
