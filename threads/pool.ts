import { Worker } from 'node:worker_threads';
import type {
  candidatePieces,
  cutPieces,
  FaultData,
  faultPieces,
  pricePieces,
  tolerancePieces,
} from '@striderule/engine';

/** Engine functions that open long work and give what works out one piece of it. */
interface Openers {
  readonly candidatePieces: typeof candidatePieces;
  readonly cutPieces: typeof cutPieces;
  readonly faultPieces: typeof faultPieces;
  readonly pricePieces: typeof pricePieces;
  readonly tolerancePieces: typeof tolerancePieces;
}

export type PieceName = keyof Openers;
export type PieceTask<K extends PieceName> = Parameters<ReturnType<Openers[K]>>[0];
export type PieceAnswer<K extends PieceName> = ReturnType<ReturnType<Openers[K]>>;

/** Work of one kind, and its pieces in their order. */
export interface PieceWork<K extends PieceName> {
  readonly open: K;
  /** What all pieces have in common; every thread holds it. */
  readonly held: Parameters<Openers[K]>[0];
  readonly tasks: readonly PieceTask<K>[];
  /** Once all of these are done: one piece more, made of what they came to. */
  readonly last?: () => PieceTask<K>;
}

type Told<A> = { readonly index: number } & (
  | { readonly answer: A }
  | { readonly faults: readonly FaultData[] }
  | { readonly failed: string }
);

/**
 * Works out every piece on `workers` threads, one piece a thread at a time. `done` hears each answer as it comes, by the place of its task, and
 * may take its time. An abort ends all threads at once, in the middle of a piece. Where a piece fails, or its thread is lost, the pool ends
 * with what `failed` makes of it: why in words, and what the engine refused, where it did.
 */
export async function inPool<K extends PieceName>(
  { open, held, tasks, last }: PieceWork<K>,
  {
    workers,
    signal,
    done,
    failed,
  }: {
    readonly workers: number;
    readonly signal: AbortSignal;
    readonly done: (index: number, answer: PieceAnswer<K>) => void | Promise<void>;
    readonly failed: (task: PieceTask<K>, why: string, faults: readonly FaultData[]) => unknown;
  },
): Promise<void> {
  signal.throwIfAborted();
  const pool = Array.from(
    { length: Math.min(workers, tasks.length) },
    () => new Worker(new URL('./worker.mjs', import.meta.url), { workerData: { open, held } }),
  );
  const kept: Promise<void>[] = [];
  let next = 0;
  let stop = (_: unknown): void => {};
  const stopped = new Promise<never>((_, reject) => {
    stop = reject;
  });
  const aborted = (): void => stop(signal.reason);
  signal.addEventListener('abort', aborted, { once: true });

  const hear = async (index: number, answer: PieceAnswer<K>): Promise<void> => {
    try {
      await done(index, answer);
    } catch (error) {
      stop(error);
    }
  };
  /** Gives a thread one piece after another for as long as there are any. */
  const run = (
    worker: Worker,
    give: () => { index: number; task: PieceTask<K> } | undefined,
  ): Promise<void> =>
    new Promise((resolve) => {
      let at: { index: number; task: PieceTask<K> } | undefined;
      const go = (): void => {
        at = give();
        if (at !== undefined) worker.postMessage(at);
        else resolve();
      };
      const lost = (why: string): void => {
        if (at !== undefined) stop(failed(at.task, why, []));
      };
      worker.removeAllListeners();
      worker.on('message', (told: Told<PieceAnswer<K>>) => {
        const { task } = at!;
        if ('faults' in told) stop(failed(task, told.faults.map(({ what }) => what).join('; '), told.faults));
        else if ('failed' in told) stop(failed(task, told.failed, []));
        else {
          kept.push(hear(told.index, told.answer));
          go();
        }
      });
      worker.on('error', (error) => lost(error.message));
      worker.on('exit', (code) => lost(`its thread ended with code ${code}`));
      go();
    });
  const inTurn = () => {
    const index = next++;
    return index < tasks.length ? { index, task: tasks[index]! } : undefined;
  };

  try {
    await Promise.race([Promise.all(pool.map((worker) => run(worker, inTurn))), stopped]);
    const [first] = pool;
    if (last !== undefined && first !== undefined) {
      await Promise.race([Promise.all(kept), stopped]);
      let more: { index: number; task: PieceTask<K> } | undefined = { index: tasks.length, task: last() };
      const once = () => {
        const it = more;
        more = undefined;
        return it;
      };
      await Promise.race([run(first, once), stopped]);
    }
  } finally {
    signal.removeEventListener('abort', aborted);
    // whoever ends now has been told, or is not waited for
    for (const worker of pool) worker.removeAllListeners('exit');
    await Promise.all(pool.map((worker) => worker.terminate()));
    await Promise.all(kept);
  }
}
