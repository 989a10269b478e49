import type { Requirement } from '../evidence/requirement.ts';
import { marginTo } from '../evidence/verdict.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { type Demands, type DesignResult, evaluateDesign, studyDemands } from './design.ts';
import { metricCatalogue } from './metrics.ts';
import { RATIO_ENDS, type RatioWindow, type RequirementWindow } from './most-met.ts';
import { ratioGrid } from './ratio-scan.ts';
import { jointOf } from './requirement-metric.ts';
import type { StudyInput } from './study-input.ts';
import { withValue } from './with-value.ts';

/** Ratios looked at between the ends, each 13 % above the last. Our choice: a window narrower than that may be missed. */
const LOOKED_AT = 33;

const tenths = (ratio: number): number => Math.round(10 * ratio);

/**
 * Makes the windows of one study and joint, a requirement at a time; designs are shared between them.
 *
 * A requirement is met at a ratio N where the value that the whole study predicts with N at this joint, everything else as it is, keeps
 * its bound; its interval is not asked for, so that near an end the ledger may call it open. N goes from 3 to 150 in steps of 13 %, and
 * where met and not met lie side by side the tenth between them is halved out. Where nothing can be predicted it is not met.
 *
 * Gears are the leg file's at every ratio. Fault: what `evaluateDesign` refuses, a requirement of one of two joints that names neither.
 */
export function openRatioWindows(
  input: StudyInput,
  joint: DrivenJoint,
  demands: Demands = studyDemands(input),
): (requirement: Requirement) => RequirementWindow {
  const made = new Map<number, readonly [StudyInput, DesignResult]>();
  const designAt = (tenth: number): readonly [StudyInput, DesignResult] => {
    const known = made.get(tenth);
    if (known !== undefined) return known;
    const leg = withValue(input.leg, `joints.${joint}.transmission.ratio`, tenth / 10);
    const moved = { ...input, leg };
    const both = [moved, evaluateDesign(moved, demands)] as const;
    made.set(tenth, both);
    return both;
  };
  const looked = ratioGrid(...RATIO_ENDS, LOOKED_AT).map(tenths);
  return (requirement) => {
    const metric = metricCatalogue[requirement.metric]!;
    const of = jointOf(input, metric, requirement);
    let openBecause: string | undefined;
    let known = false;
    const met = (tenth: number): boolean => {
      const [moved, design] = designAt(tenth);
      const got = metric.value(moved, design, of, requirement.task);
      if ('openBecause' in got) {
        openBecause ??= got.openBecause;
        return false;
      }
      known = true;
      return marginTo(requirement.bound, got.value) >= 0;
    };
    const windows: RatioWindow[] = [];
    let from: number | undefined;
    let before = looked[0];
    let was = met(before);
    if (was) from = before;
    for (const tenth of looked.slice(1)) {
      const is = met(tenth);
      if (is !== was) {
        let [low, high] = [before, tenth];
        while (high - low > 1) {
          const middle = Math.floor((low + high) / 2);
          if (met(middle) === was) low = middle;
          else high = middle;
        }
        if (from === undefined) from = high;
        else {
          windows.push([from / 10, low / 10]);
          from = undefined;
        }
      }
      [before, was] = [tenth, is];
    }
    if (from !== undefined) windows.push([from / 10, before / 10]);
    const { title, unit } = metric;
    return { requirement, title, unit, windows, ...(!known && { openBecause: openBecause! }) };
  };
}
