import {
  type Demands,
  type DrivenJoint,
  evaluateStudy,
  type LedgerRow,
  type StudyInput,
} from '@striderule/engine';
import { withRatio } from './with-ratio.ts';

/** What is asked of a study's ledger. */
export interface LedgerQuestion {
  /** Another ratio at one joint. */
  readonly ratio?: { readonly joint: DrivenJoint; readonly ratio: number };
  /** Requirements asked about; left out: all. */
  readonly only?: readonly string[];
  /** Whether intervals are wanted, or values alone. */
  readonly intervals: boolean;
}

export function ledgerRows(
  input: StudyInput,
  demands: Demands,
  { ratio, only, intervals }: LedgerQuestion,
): readonly LedgerRow[] {
  const moved = ratio === undefined ? input : withRatio(input, ratio.joint, ratio.ratio);
  return evaluateStudy(
    {
      ...moved,
      ...(only !== undefined && { requirements: input.requirements.filter((r) => only.includes(r.id)) }),
      ...(!intervals && { spreads: [] }),
    },
    demands,
  ).ledger;
}
