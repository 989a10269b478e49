import { type Progress, progress } from './progress.ts';

/** Runs long work with its progress on standard error. The first Ctrl-C asks it to stop, a second one ends at once. */
export async function longWork<T>(
  title: string,
  work: (signal: AbortSignal, shown: Progress) => Promise<T>,
): Promise<T> {
  const stopped = new AbortController();
  const stop = (): void => stopped.abort();
  process.once('SIGINT', stop);
  const shown = progress(process.stderr, title);
  try {
    return await work(stopped.signal, shown);
  } finally {
    shown.end();
    process.removeListener('SIGINT', stop);
  }
}
