import type { StudyInput } from '@striderule/engine';
import { answerLedger, type LedgerQuestion } from './answer-ledger.ts';

// The ledger away from the page: it costs far more than what is drawn, its intervals a design for each spread.

/** A study to work on, then questions about it. */
export type LedgerAsk =
  | { readonly kind: 'study'; readonly input: StudyInput }
  | { readonly kind: 'rows'; readonly question: LedgerQuestion };

let input: StudyInput | undefined;

addEventListener('message', ({ data }: MessageEvent<LedgerAsk>) => {
  if (data.kind === 'study') input = data.input;
  else if (input !== undefined) postMessage(answerLedger(input, data.question));
});
