import type { LedgerRow, StudyInput } from '@striderule/engine';
import type { LedgerAnswer, LedgerAsk } from './ledger-worker.ts';

type Question = Omit<Extract<LedgerAsk, { kind: 'rows' }>, 'kind' | 'id'>;

/** Asks a worker about one study: one question at a time, and of those that came meanwhile only the last. */
export interface LedgerAsker {
  readonly ask: (question: Question, answer: (rows: readonly LedgerRow[]) => void) => void;
  readonly end: () => void;
}

export function askLedger(input: StudyInput): LedgerAsker {
  const worker = new Worker(new URL('./ledger-worker.ts', import.meta.url), { type: 'module' });
  const send = (message: LedgerAsk) => worker.postMessage(message);
  send({ kind: 'study', input });
  let id = 0;
  let busy: ((rows: readonly LedgerRow[]) => void) | undefined;
  let next: [Question, (rows: readonly LedgerRow[]) => void] | undefined;
  const put = (question: Question, answer: (rows: readonly LedgerRow[]) => void) => {
    busy = answer;
    send({ kind: 'rows', id: ++id, ...question });
  };
  worker.addEventListener('message', ({ data }: MessageEvent<LedgerAnswer>) => {
    const answer = busy;
    busy = undefined;
    if (next !== undefined) {
      const [question, later] = next;
      next = undefined;
      put(question, later);
    }
    answer?.(data.rows);
  });
  return {
    ask(question, answer) {
      if (busy === undefined) put(question, answer);
      else next = [question, answer];
    },
    end: () => worker.terminate(),
  };
}
