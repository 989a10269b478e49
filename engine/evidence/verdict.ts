import type { Propagation } from './interval.ts';
import type { RequirementState } from './ledger-row.ts';
import type { Requirement } from './requirement.ts';

/** Room to a bound in its own unit, positive inside. */
export const marginTo = (bound: Requirement['bound'], value: number): number =>
  bound.kind === 'at most' ? bound.value - value : value - bound.value;

/**
 * met: the whole interval is inside the bound. not met: the nominal value is outside. open: the nominal value is inside but the
 * interval is not or cannot be known, or nothing is predicted.
 */
export function verdict(
  bound: Requirement['bound'],
  predicted: number | null,
  { interval, unknownAt }: Propagation,
): Exclude<RequirementState, 'stale'> {
  if (predicted === null || Number.isNaN(predicted)) return 'open';
  if (marginTo(bound, predicted) < 0) return 'not met';
  if (unknownAt !== undefined) return 'open';
  const worst = interval === null ? predicted : bound.kind === 'at most' ? interval.high : interval.low;
  return marginTo(bound, worst) < 0 ? 'open' : 'met';
}
