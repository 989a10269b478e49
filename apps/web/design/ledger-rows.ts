import {
  type Demands,
  type DrivenJoint,
  evaluateStudy,
  type LedgerRow,
  type Requirement,
  type StudyInput,
} from '@striderule/engine';
import { withRatio } from './with-ratio.ts';

/** In what a design differs from its study; an empty record: in nothing. */
export interface Change {
  readonly ratios?: { readonly [joint in DrivenJoint]?: number };
  /** All requirements, where one of them asks something else. */
  readonly requirements?: readonly Requirement[];
}

/** What is asked of a study's ledger. */
export interface LedgerQuestion extends Change {
  /** Requirements asked about; left out: all. */
  readonly only?: readonly string[];
  /** Whether intervals are wanted, or values alone. */
  readonly intervals: boolean;
}

/** The study with the change in it; the same record where there is none. */
export function changed(input: StudyInput, { ratios = {}, requirements }: Change): StudyInput {
  const moved = (Object.entries(ratios) as [DrivenJoint, number][]).reduce(
    (design, [joint, ratio]) => withRatio(design, joint, ratio),
    input,
  );
  return requirements === undefined ? moved : { ...moved, requirements };
}

export function ledgerRows(
  input: StudyInput,
  demands: Demands,
  { only, intervals, ...change }: LedgerQuestion,
): readonly LedgerRow[] {
  const design = changed(input, change);
  return evaluateStudy(
    {
      ...design,
      ...(only !== undefined && { requirements: design.requirements.filter((r) => only.includes(r.id)) }),
      ...(!intervals && { spreads: [] }),
    },
    demands,
  ).ledger;
}
