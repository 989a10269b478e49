import type { StudyInput } from '@striderule/engine';
import type { StudyAsk } from './study-worker.ts';

/** A script of the build beside the page's own: see vite.config.ts. */
const WORKER = '/assets/study-worker.js';

/** A worker on one study, beside the page. `lost` where the browser will not run it. */
export function workBeside<A>(
  input: StudyInput,
  take: (answer: A) => void,
  lost: () => void,
): { readonly ask: (question: StudyAsk) => void; readonly end: () => void } {
  const worker = new Worker(WORKER, { type: 'module' });
  worker.addEventListener('message', ({ data }: MessageEvent<A>) => take(data));
  worker.addEventListener('error', lost);
  const ask = (question: StudyAsk) => worker.postMessage(question);
  ask({ kind: 'study', input });
  return { ask, end: () => worker.terminate() };
}
