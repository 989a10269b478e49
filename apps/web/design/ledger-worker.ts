import {
  type Demands,
  Fault,
  type FaultData,
  type LedgerRow,
  type StudyInput,
  studyDemands,
} from '@striderule/engine';
import { type LedgerQuestion, ledgerRows } from './ledger-rows.ts';

// The ledger away from the page: it costs far more than what is drawn, its intervals a design for each spread.

/** A study to work on, then questions about it. */
export type LedgerAsk =
  | { readonly kind: 'study'; readonly input: StudyInput }
  | { readonly kind: 'rows'; readonly question: LedgerQuestion };

/** The lines asked for, or what the engine refuses. */
export type LedgerAnswer =
  | { readonly rows: readonly LedgerRow[] }
  | { readonly faults: readonly FaultData[] };

let input: StudyInput | undefined;
let demands: Demands | undefined;

function answerTo(question: LedgerQuestion, study: StudyInput): LedgerAnswer {
  try {
    demands ??= studyDemands(study);
    return { rows: ledgerRows(study, demands, question) };
  } catch (error) {
    if (error instanceof Fault) return { faults: error.faults };
    throw error;
  }
}

addEventListener('message', ({ data }: MessageEvent<LedgerAsk>) => {
  if (data.kind === 'study') {
    input = data.input;
    demands = undefined;
  } else if (input !== undefined) postMessage(answerTo(data.question, input));
});
