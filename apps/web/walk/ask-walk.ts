import type { LedgerAsk, LedgerWalkAnswer } from './answer-ledger.ts';
import { answerWalk, type WalkAnswer, type WalkAsk } from './answer-walk.ts';

/** A script of the build beside the page's own: see vite.config.ts. */
const WORKER = '/assets/walk-worker.js';

/** Walks beside the page; returns how to stop. Where the browser will not run a worker, the page walks itself. */
export function askWalk(ask: WalkAsk, tell: (answer: WalkAnswer) => void): () => void {
  const worker = new Worker(WORKER, { type: 'module' });
  worker.addEventListener('message', ({ data }: MessageEvent<WalkAnswer>) => {
    if (data.kind !== 'stride') worker.terminate();
    tell(data);
  });
  worker.addEventListener('error', () => {
    worker.terminate();
    answerWalk(ask, tell);
  });
  worker.postMessage(ask);
  return () => worker.terminate();
}

/** Walks for the ledger beside the page; returns how to stop. `lost` where the browser will not run a worker: the page itself would stand still. */
export function askLedgerWalks(
  ask: LedgerAsk,
  tell: (answer: LedgerWalkAnswer) => void,
  lost: () => void,
): () => void {
  const worker = new Worker(WORKER, { type: 'module' });
  let left = ask.walks.length;
  worker.addEventListener('message', ({ data }: MessageEvent<LedgerWalkAnswer>) => {
    if (--left === 0) worker.terminate();
    tell(data);
  });
  worker.addEventListener('error', () => {
    worker.terminate();
    lost();
  });
  worker.postMessage(ask);
  return () => worker.terminate();
}
