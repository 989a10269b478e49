import { Worker } from 'node:worker_threads';
import { type CandidateWalk, Fault, type ShortlistCandidate, type StudyInput } from '@striderule/engine';

/** What every worker holds. */
export interface PoolWork {
  readonly studies: readonly StudyInput[];
  readonly choice: { readonly speed: number };
  readonly length: { readonly step: number; readonly strides: number };
}

/** One candidate to walk. */
export interface PoolTask {
  /** Place of its study among the pool's. */
  readonly study: number;
  readonly candidate: Pick<ShortlistCandidate, 'knee' | 'ankle'>;
}

type Answer = { readonly index: number } & ({ readonly walk: CandidateWalk } | { readonly failed: string });

/**
 * Walks every task on `workers` threads, one task a thread at a time; `done` hears each walk as it comes, by its place among the tasks, and
 * may take its time. An abort ends all threads at once, in the middle of a walk. Fault where a thread fails or is lost: it names the
 * candidate.
 */
export async function walkInPool(
  work: PoolWork,
  tasks: readonly PoolTask[],
  {
    workers,
    signal,
    done,
  }: {
    readonly workers: number;
    readonly signal: AbortSignal;
    readonly done: (index: number, walk: CandidateWalk) => void | Promise<void>;
  },
): Promise<void> {
  signal.throwIfAborted();
  const pool = Array.from(
    { length: Math.min(workers, tasks.length) },
    () => new Worker(new URL('./walk-worker.mjs', import.meta.url), { workerData: work }),
  );
  const kept: Promise<void>[] = [];
  let next = 0;
  let stop = (_: unknown): void => {};
  const stopped = new Promise<never>((_, reject) => {
    stop = reject;
  });
  const aborted = (): void => stop(signal.reason);
  signal.addEventListener('abort', aborted, { once: true });

  const hear = async (index: number, walk: CandidateWalk): Promise<void> => {
    try {
      await done(index, walk);
    } catch (error) {
      stop(error);
    }
  };
  const run = (worker: Worker): Promise<void> =>
    new Promise((resolve) => {
      let at = -1;
      const give = (): void => {
        at = next++;
        if (at < tasks.length) worker.postMessage({ index: at, ...tasks[at]! });
        else resolve();
      };
      worker.on('message', (answer: Answer) => {
        if ('failed' in answer) stop(failed(tasks[answer.index]!, answer.failed));
        else {
          kept.push(hear(answer.index, answer.walk));
          give();
        }
      });
      worker.on('error', (error) => stop(failed(tasks[at]!, error.message)));
      worker.on('exit', (code) => {
        if (at < tasks.length) stop(failed(tasks[at]!, `its thread ended with code ${code}`));
      });
      give();
    });

  try {
    await Promise.race([Promise.all(pool.map(run)), stopped]);
  } finally {
    signal.removeEventListener('abort', aborted);
    // whoever ends now has been told, or is not waited for
    for (const worker of pool) worker.removeAllListeners('exit');
    await Promise.all(pool.map((worker) => worker.terminate()));
    await Promise.all(kept);
  }
}

function failed({ candidate }: PoolTask, why: string): Fault {
  const joint = ({ motor, ratio }: { motor: string; ratio: number }) => `${motor} at ${ratio}:1`;
  return new Fault({
    code: 'walk.worker-failed',
    what: `The walk of knee ${joint(candidate.knee)}, ankle ${joint(candidate.ankle)} failed: ${why}`,
    mend: 'Walks that were done are kept: the same command goes on after them. If it fails again, leave this candidate out and report it',
  });
}
