import { type LedgerRow, type StudyInput, studyDemands } from '@striderule/engine';
import { type LedgerQuestion, ledgerRows } from './ledger-rows.ts';
import type { LedgerAnswer, LedgerAsk } from './ledger-worker.ts';

type Answer = (rows: readonly LedgerRow[]) => void;

/** Asks a worker about one study: one question at a time, and of those that came meanwhile only the last. */
export interface LedgerAsker {
  readonly ask: (question: LedgerQuestion, answer: Answer) => void;
  readonly end: () => void;
}

/** ms between an answer and the next question: a drag must not keep a second processor busy without a pause. */
const PAUSE = 40;

/** A script of the build beside the page's own, with which it shares the engine: see vite.config.ts. */
const WORKER = '/assets/ledger-worker.js';

/** A worker on one study. Where the browser will not run it, the page works the answers out itself, slowly. */
export function askLedger(input: StudyInput): LedgerAsker {
  const worker = new Worker(WORKER, { type: 'module' });
  const send = (message: LedgerAsk) => worker.postMessage(message);
  send({ kind: 'study', input });
  let timer: ReturnType<typeof setTimeout> | undefined;
  let busy: { readonly question: LedgerQuestion; readonly answer: Answer } | undefined;
  let next: typeof busy;
  let alone = false;
  const put = (asked: NonNullable<typeof busy>) => {
    busy = asked;
    if (alone) take(ledgerRows(input, studyDemands(input), asked.question));
    else send({ kind: 'rows', question: asked.question });
  };
  const take = (rows: readonly LedgerRow[]) => {
    const asked = busy;
    busy = undefined;
    timer = setTimeout(() => {
      timer = undefined;
      const waiting = next;
      next = undefined;
      if (waiting !== undefined) put(waiting);
    }, PAUSE);
    asked?.answer(rows);
  };
  worker.addEventListener('message', ({ data }: MessageEvent<LedgerAnswer>) => take(data.rows));
  worker.addEventListener('error', () => {
    alone = true;
    if (busy !== undefined) put(busy);
  });
  return {
    ask(question, answer) {
      if (busy === undefined && timer === undefined) put({ question, answer });
      else next = { question, answer };
    },
    end() {
      clearTimeout(timer);
      worker.terminate();
    },
  };
}
