import type { StudyInput } from '@striderule/engine';
import type { LedgerAnswer, LedgerQuestion } from './answer-ledger.ts';
import type { LedgerAsk } from './ledger-worker.ts';

/** The lines, what the engine refuses, or that what works them out could not be read or run: asked anew, it is read anew. */
export type LedgerGot = LedgerAnswer | { readonly lost: true };

type Answer = (got: LedgerGot) => void;

/** Asks about one study. Of the questions of one asker that came while another was worked on, only the last is answered. */
export interface LedgerAsker {
  readonly ask: (question: LedgerQuestion, answer: Answer) => void;
  /** No answer comes after this. */
  readonly end: () => void;
}

interface Asked {
  readonly input: StudyInput;
  readonly question: LedgerQuestion;
  readonly answer: Answer;
}

/**
 * ms between an answer and the next question. Numbers that change oftener than ten times a second cannot be read, and while a slide is dragged the
 * processor that works them out is wanted for drawing.
 */
const PAUSE = 90;

/** A script of the build beside the page's own, with which it shares the engine: see vite.config.ts. */
const WORKER = '/assets/ledger-worker.js';

/** Where the browser will not run the worker, the page works the answers out itself, slowly, with the worker's own script. */
const answerHere = async ({ input, question }: Asked): Promise<LedgerAnswer> =>
  (await import('./answer-ledger.ts')).answerLedger(input, question);

/**
 * One worker for all askers, begun with the first question and kept: a new one would have to load and compile the engine anew.
 * Askers are answered in turn.
 */
function desk() {
  const waiting = new Map<object, Asked>();
  let worker: Worker | undefined;
  let alone = false;
  let known: StudyInput | undefined;
  let busy: readonly [asker: object, asked: Asked] | undefined;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const send = (message: LedgerAsk) => worker?.postMessage(message);
  const take = (answer: LedgerGot) => {
    const asked = busy;
    busy = undefined;
    timer = setTimeout(next, PAUSE);
    asked?.[1].answer(answer);
  };
  const put = ({ input, question }: Asked) => {
    if (alone && busy !== undefined) {
      answerHere(busy[1]).then(take, () => {
        // neither the worker nor the page has it, as when the server is gone: the next question begins afresh
        worker?.terminate();
        worker = undefined;
        known = undefined;
        alone = false;
        take({ lost: true });
      });
      return;
    }
    if (worker === undefined) {
      worker = new Worker(WORKER, { type: 'module' });
      worker.addEventListener('message', ({ data }: MessageEvent<LedgerAnswer>) => take(data));
      worker.addEventListener('error', () => {
        alone = true;
        if (busy !== undefined) put(busy[1]);
      });
    }
    if (input !== known) send({ kind: 'study', input });
    known = input;
    send({ kind: 'rows', question });
  };
  const next = () => {
    timer = undefined;
    if (busy !== undefined) return;
    const [first] = waiting;
    if (first === undefined) return;
    waiting.delete(first[0]);
    busy = first;
    put(first[1]);
  };
  return {
    ask(asker: object, asked: Asked) {
      waiting.set(asker, asked);
      if (timer === undefined) next();
    },
    drop: (asker: object) => waiting.delete(asker),
  };
}

/** Values come at once though intervals are worked on: each has a worker of its own. */
const desks = { values: desk(), intervals: desk() };

export function askLedger(input: StudyInput): LedgerAsker {
  const asker = {};
  let ended = false;
  return {
    ask(question, answer) {
      const kind = question.intervals ? 'intervals' : 'values';
      desks[kind].ask(asker, {
        input,
        question,
        answer: (got) => {
          if (!ended) answer(got);
        },
      });
    },
    end() {
      ended = true;
      for (const each of Object.values(desks)) each.drop(asker);
    },
  };
}
