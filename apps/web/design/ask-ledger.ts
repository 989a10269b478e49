import type { LedgerRow, StudyInput } from '@striderule/engine';
import type { LedgerAnswer, LedgerAsk } from './ledger-worker.ts';

type Question = Omit<Extract<LedgerAsk, { kind: 'rows' }>, 'kind' | 'id'>;

/** Asks a worker about one study: one question at a time, and of those that came meanwhile only the last. */
export interface LedgerAsker {
  readonly ask: (question: Question, answer: (rows: readonly LedgerRow[]) => void) => void;
  readonly end: () => void;
}

/** ms between an answer and the next question. */
const PAUSE = 40;

export function askLedger(input: StudyInput): LedgerAsker {
  const worker = new Worker(new URL('./ledger-worker.ts', import.meta.url), { type: 'module' });
  const send = (message: LedgerAsk) => worker.postMessage(message);
  send({ kind: 'study', input });
  let id = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let busy: ((rows: readonly LedgerRow[]) => void) | undefined;
  let next: [Question, (rows: readonly LedgerRow[]) => void] | undefined;
  const put = (question: Question, answer: (rows: readonly LedgerRow[]) => void) => {
    busy = answer;
    send({ kind: 'rows', id: ++id, ...question });
  };
  worker.addEventListener('message', ({ data }: MessageEvent<LedgerAnswer>) => {
    const answer = busy;
    busy = undefined;
    // a drag must not keep a second processor busy without a pause
    timer = setTimeout(() => {
      timer = undefined;
      if (next === undefined || busy !== undefined) return;
      const [question, later] = next;
      next = undefined;
      put(question, later);
    }, PAUSE);
    answer?.(data.rows);
  });
  return {
    ask(question, answer) {
      if (busy === undefined && timer === undefined) put(question, answer);
      else next = [question, answer];
    },
    end() {
      clearTimeout(timer);
      worker.terminate();
    },
  };
}
