import type { Requirement } from '../evidence/requirement.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { StudyInput } from './study-input.ts';
import { withValue } from './with-value.ts';

/** In what a design differs from its study; an empty record: in nothing. */
export interface StudyChange {
  readonly ratios?: { readonly [joint in DrivenJoint]?: number };
  /** All requirements, where one of them asks something else. */
  readonly requirements?: readonly Requirement[];
}

/** The study with the change in it; the same record where there is none. */
export function changedStudy(input: StudyInput, { ratios = {}, requirements }: StudyChange): StudyInput {
  const moved = Object.entries(ratios) as [DrivenJoint, number][];
  if (moved.length === 0 && requirements === undefined) return input;
  const leg = moved.reduce(
    (made, [joint, ratio]) => withValue(made, `joints.${joint}.transmission.ratio`, ratio),
    input.leg,
  );
  return { ...input, leg, ...(requirements !== undefined && { requirements }) };
}
