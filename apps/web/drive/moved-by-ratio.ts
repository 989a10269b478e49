import { type DrivenJoint, type LedgerRow, metricCatalogue } from '@striderule/engine';

/** Lines of a joint that its ratio moves, in the study's order. */
export const movedByRatio = (rows: readonly LedgerRow[], joint: DrivenJoint): LedgerRow[] =>
  rows.filter(({ requirement: r }) => {
    const metric = metricCatalogue[r.metric];
    const whose = r.joint ?? (metric?.only === 'knee' ? 'knee' : joint);
    return whose === joint && metric?.reads.includes('transmission.ratio') === true;
  });
