import type { LedgerAsk, LedgerWalkAnswer } from './answer-ledger.ts';

/** A script of the build beside the page's own: see vite.config.ts. */
export const WALK_WORKER = '/assets/walk-worker.js';

/** Walks for the ledger beside the page; returns how to stop. `lost` where the browser will not run a worker: the page itself would stand still. */
export function askLedgerWalks(
  ask: LedgerAsk,
  tell: (answer: LedgerWalkAnswer) => void,
  lost: () => void,
): () => void {
  const worker = new Worker(WALK_WORKER, { type: 'module' });
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
