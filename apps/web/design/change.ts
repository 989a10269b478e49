import type { DrivenJoint, Requirement, StudyInput } from '@striderule/engine';
import { withRatio } from './with-ratio.ts';

/** In what a design differs from its study; an empty record: in nothing. */
export interface Change {
  readonly ratios?: { readonly [joint in DrivenJoint]?: number };
  /** All requirements, where one of them asks something else. */
  readonly requirements?: readonly Requirement[];
}

/** The study with the change in it; the same record where there is none. */
export function changed(input: StudyInput, { ratios = {}, requirements }: Change): StudyInput {
  const moved = (Object.entries(ratios) as [DrivenJoint, number][]).reduce(
    (design, [joint, ratio]) => withRatio(design, joint, ratio),
    input,
  );
  return requirements === undefined ? moved : { ...moved, requirements };
}
