import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';
import { ratioCandidates, type Tightest } from './ratio-candidate.ts';
import { type RatioScan, ratioCase } from './ratio-scan.ts';
import type { StudyInput } from './study-input.ts';

/** Where the ratios that carry every task end. */
export interface LargestRatio {
  readonly ratio: number;
  /** What fails just above it; absent where the largest ratio looked at still carries. */
  readonly beyond?: Tightest;
}

const HALVINGS = 24;

/**
 * From the smallest ratio that carries every task upwards: the largest up to which all looked at do, and what ends it, halved between
 * the last candidate of `scan` that carries and the next, which does not. A gap narrower than the candidates stand apart may be missed.
 * `scan` must be what `ratioScan` made of this joint with the leg's own motor. Undefined where no ratio carries.
 */
export function largestRatio(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  { candidates, smallest }: RatioScan,
): LargestRatio | undefined {
  if (smallest?.candidate === undefined) return undefined;
  const above = candidates.filter(({ ratio }) => ratio > smallest.ratio);
  const end = above.findIndex(({ carries }) => !carries);
  let there = end < 0 ? (above.at(-1) ?? smallest.candidate) : (above[end - 1] ?? smallest.candidate);
  if (end < 0) return { ratio: there.ratio };
  let fails = above[end];
  const c = ratioCase(input, design, joint);
  for (let k = 0; k < HALVINGS; k++) {
    const [middle] = ratioCandidates(c, [Math.sqrt(there.ratio * fails.ratio)]);
    if (middle.carries) there = middle;
    else fails = middle;
  }
  return { ratio: there.ratio, beyond: fails.tightest! };
}
