import { answerWalk, type WalkAnswer, type WalkAsk } from './answer-walk.ts';
import { WALK_WORKER } from './ask-ledger-walks.ts';

/** Walks beside the page; returns how to stop. Where the browser will not run a worker, the page walks itself. */
export function askWalk(ask: WalkAsk, tell: (answer: WalkAnswer) => void): () => void {
  const worker = new Worker(WALK_WORKER, { type: 'module' });
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
