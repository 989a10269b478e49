import {
  type Demands,
  type DrivenJoint,
  evaluateStudy,
  type LedgerRow,
  type StudyInput,
  studyDemands,
} from '@striderule/engine';
import { withRatio } from './with-ratio.ts';

// The ledger away from the page: its intervals cost a design for each spread, which would stop a drag or a scroll.

/** A study to work on, or a question about the one sent last. */
export type LedgerAsk =
  | { readonly kind: 'study'; readonly input: StudyInput }
  | {
      readonly kind: 'rows';
      readonly id: number;
      /** Another ratio at one joint. */
      readonly ratio?: { readonly joint: DrivenJoint; readonly ratio: number };
      /** Requirements asked about; left out: all. */
      readonly only?: readonly string[];
      /** Whether intervals are wanted, or values alone. */
      readonly intervals: boolean;
    };

export interface LedgerAnswer {
  readonly id: number;
  readonly rows: readonly LedgerRow[];
}

let input: StudyInput | undefined;
let demands: Demands = {};

addEventListener('message', ({ data }: MessageEvent<LedgerAsk>) => {
  if (data.kind === 'study') {
    input = data.input;
    demands = studyDemands(input);
    return;
  }
  if (input === undefined) return;
  const { id, ratio, only, intervals } = data;
  const moved = ratio === undefined ? input : withRatio(input, ratio.joint, ratio.ratio);
  const asked: StudyInput = {
    ...moved,
    ...(only !== undefined && { requirements: input.requirements.filter((r) => only.includes(r.id)) }),
    ...(!intervals && { spreads: [] }),
  };
  const answer: LedgerAnswer = { id, rows: evaluateStudy(asked, demands).ledger };
  postMessage(answer);
});
