import type { DrivenJoint, LedgerRow } from '@striderule/engine';
import type { Metrics } from '../read-study.ts';

/** Lines of a joint that its ratio moves, in the study's order. */
export const movedByRatio = (rows: readonly LedgerRow[], joint: DrivenJoint, metrics: Metrics): LedgerRow[] =>
  rows.filter(({ requirement: r }) => {
    const metric = metrics[r.metric];
    const whose = r.joint ?? (metric?.only === 'knee' ? 'knee' : joint);
    return whose === joint && metric?.reads?.includes('transmission.ratio') === true;
  });
