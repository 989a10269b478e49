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
