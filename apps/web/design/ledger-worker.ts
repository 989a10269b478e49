import { type Demands, type LedgerRow, type StudyInput, studyDemands } from '@striderule/engine';
import { type LedgerQuestion, ledgerRows } from './ledger-rows.ts';

// The ledger away from the page: its intervals cost a design for each spread, which would stop a drag or a scroll.

/** A study to work on, then questions about it. */
export type LedgerAsk =
  | { readonly kind: 'study'; readonly input: StudyInput }
  | { readonly kind: 'rows'; readonly question: LedgerQuestion };

export interface LedgerAnswer {
  readonly rows: readonly LedgerRow[];
}

let input: StudyInput | undefined;
let demands: Demands = {};

addEventListener('message', ({ data }: MessageEvent<LedgerAsk>) => {
  if (data.kind === 'study') {
    input = data.input;
    demands = studyDemands(input);
  } else if (input !== undefined) {
    const answer: LedgerAnswer = { rows: ledgerRows(input, demands, data.question) };
    postMessage(answer);
  }
});
