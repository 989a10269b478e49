import type { FaultData } from '../quantity/fault.ts';
import type { Recipe } from './recipe.ts';

/** One thing that was looked at, with its figure. A recording with a finding that is a fault is not imported. */
export interface RecordingCheck {
  /** Such as `unit ankle.moment`: the name under which the recipe may accept its finding. */
  readonly id: string;
  readonly verdict: 'holds' | 'warns' | 'accepted';
  readonly figure: number;
  /** Unit of the figure; 1 for a share. */
  readonly unit: string;
  /** What was found, as a sentence. */
  readonly text: string;
}

/** What a check finds before the recipe is asked whether it accepts it. */
export interface Finding {
  readonly id: string;
  readonly verdict: 'holds' | 'warns' | 'fault';
  readonly figure: number;
  readonly unit: string;
  /** What was found, without a final period. */
  readonly what: string;
  readonly mend?: string;
  readonly path?: string;
}

/** Findings as checks; what is a fault and not accepted with a reason becomes one. */
export function judged(
  findings: readonly Finding[],
  accept: Recipe['accept'],
): { checks: readonly RecordingCheck[]; faults: readonly FaultData[] } {
  const checks: RecordingCheck[] = [];
  const faults: FaultData[] = [];
  for (const { id, verdict, figure, unit, what, mend = '', path } of findings) {
    const accepted = accept.find(({ check }) => check === id);
    if (verdict === 'fault' && accepted === undefined) {
      faults.push({
        code: `gait.recording-${id.split(' ')[0]}`,
        what,
        mend: `${mend}; if it is truly so, add \`accept: [{ check: ${id}, because: … }]\` to the recipe`,
        ...(path !== undefined && { place: { path } }),
      });
    } else if (verdict === 'holds' || accepted === undefined) {
      checks.push({ id, verdict: verdict === 'holds' ? 'holds' : 'warns', figure, unit, text: `${what}.` });
    } else {
      checks.push({
        id,
        verdict: 'accepted',
        figure,
        unit,
        text: `${what}. Accepted: ${accepted.because}`,
      });
    }
  }
  return { checks, faults };
}
