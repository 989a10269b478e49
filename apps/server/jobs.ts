import { randomUUID } from 'node:crypto';
import { Fault, type FaultData } from '@striderule/engine';
import type { ProgressEvent } from '@striderule/wire';

/** Where a job stands; all but `progress` are its end. */
export type JobEvent =
  | { readonly event: 'progress'; readonly data: ProgressEvent }
  | { readonly event: 'done'; readonly data: unknown }
  | { readonly event: 'fault'; readonly data: { readonly faults: readonly FaultData[] } }
  | { readonly event: 'cancelled'; readonly data: Record<string, never> };

export type Work = (
  signal: AbortSignal,
  onProgress: (progress: ProgressEvent) => void,
  /** Of what is found on the way nothing is left out, whoever listens and from when on. */
  onPart: (part: unknown) => void,
) => Promise<unknown>;

interface Job {
  readonly id: string;
  /** What was asked, where it may be asked again. */
  readonly key: string | undefined;
  readonly parts: unknown[];
  readonly stop: AbortController;
  latest: JobEvent | undefined;
  /** Resolved, and replaced, at each event. */
  next: PromiseWithResolver;
  readonly ended: Promise<void>;
}

interface PromiseWithResolver {
  readonly promise: Promise<void>;
  readonly resolve: () => void;
}

const KEPT = 20;

/** Long work that outlives the request that began it: a page may be closed and opened again meanwhile. */
export class Jobs {
  readonly #jobs = new Map<string, Job>();

  /** With a `key`, it is found again by whoever asks the same. */
  start(work: Work, key?: string): string {
    const stop = new AbortController();
    const tell = (event: JobEvent) => {
      job.latest = event;
      job.next.resolve();
      job.next = resolver();
    };
    const job: Job = {
      id: randomUUID(),
      key,
      parts: [],
      stop,
      latest: undefined,
      next: resolver(),
      ended: Promise.resolve()
        .then(() =>
          work(
            stop.signal,
            (data) => tell({ event: 'progress', data }),
            (part) => job.parts.push(part),
          ),
        )
        .then(
          (data) => tell({ event: 'done', data }),
          (error) => tell(endOf(error, stop.signal)),
        ),
    };
    this.#jobs.set(job.id, job);
    for (const [id, old] of this.#jobs) {
      if (this.#jobs.size <= KEPT) break;
      if (ended(old)) this.#jobs.delete(id);
    }
    return job.id;
  }

  has(id: string): boolean {
    return this.#jobs.has(id);
  }

  /** The latest that was started with this key, where it goes on or was done. */
  find(key: string): string | undefined {
    return [...this.#jobs.values()].findLast(
      (job) => job.key === key && (this.goesOn(job.id) || job.latest?.event === 'done'),
    )?.id;
  }

  /** Not one that has been asked to stop. */
  goesOn(id: string): boolean {
    const job = this.#jobs.get(id);
    return job !== undefined && !ended(job) && !job.stop.signal.aborted;
  }

  /** Parts after the first `from`, and where it stands; undefined where nothing is known yet. */
  news(
    id: string,
    from: number,
  ): { readonly parts: readonly unknown[]; readonly latest: JobEvent | undefined } {
    const { parts, latest } = this.#jobs.get(id)!;
    return { parts: parts.slice(from), latest };
  }

  /** Asks the job to stop. It ends as `cancelled`, or as what it came to before it heard. */
  cancel(id: string): void {
    this.#jobs.get(id)?.stop.abort();
  }

  /** Where it stands, then each change until its end. Of progress a slow reader sees the latest, in order. */
  async *events(id: string): AsyncGenerator<JobEvent> {
    const job = this.#jobs.get(id)!;
    let seen: JobEvent | undefined;
    for (;;) {
      const { latest, next } = job;
      if (latest !== undefined && latest !== seen) {
        seen = latest;
        yield latest;
        if (latest.event !== 'progress') return;
      } else await next.promise;
    }
  }

  /** Stops all and waits until each has put things in order. */
  async stopAll(): Promise<void> {
    for (const { stop } of this.#jobs.values()) stop.abort();
    await Promise.all([...this.#jobs.values()].map(({ ended }) => ended));
  }
}

const ended = ({ latest }: Job): boolean => latest !== undefined && latest.event !== 'progress';

function resolver(): PromiseWithResolver {
  let resolve = () => {};
  const promise = new Promise<void>((done) => {
    resolve = done;
  });
  return { promise, resolve };
}

function endOf(error: unknown, signal: AbortSignal): JobEvent {
  if (error instanceof Fault) return { event: 'fault', data: { faults: error.faults } };
  if (signal.aborted) return { event: 'cancelled', data: {} };
  const what = `the work stopped: ${error instanceof Error ? error.message : String(error)}`;
  return {
    event: 'fault',
    data: { faults: [{ code: 'server.job', what, mend: 'Look at the file and try again' }] },
  };
}
