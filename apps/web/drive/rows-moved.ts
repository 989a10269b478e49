import { type DrivenJoint, type LedgerRow, movedByRatio } from '@striderule/engine';
import type { Metrics } from '../read-study.ts';

/** Lines of a joint that its ratio moves, in the study's order. */
export const rowsMoved = (rows: readonly LedgerRow[], joint: DrivenJoint, metrics: Metrics): LedgerRow[] =>
  rows.filter(({ requirement }) => movedByRatio(requirement, joint, metrics[requirement.metric]));
