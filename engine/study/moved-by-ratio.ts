import type { Requirement } from '../evidence/requirement.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { Metric } from './metric.ts';

/**
 * Whether the ratio of one joint moves what a requirement asks about: it is of this joint or of the whole leg, and its metric, given as the
 * catalogue has it, reads `transmission.ratio`. What walks judge has no entry there and is not moved: it takes a walk at each ratio.
 */
export function movedByRatio(
  { joint: named }: Requirement,
  joint: DrivenJoint,
  metric: Partial<Pick<Metric, 'only' | 'reads'>> | undefined,
): boolean {
  if (metric?.reads?.includes('transmission.ratio') !== true) return false;
  return metric.only === 'leg' || (named ?? (metric.only === 'knee' ? 'knee' : joint)) === joint;
}
