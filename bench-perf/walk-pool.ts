import { type StudyInput, shortlistCandidates } from '@striderule/engine';
import { walkInPool } from '../apps/cli/walk-pool.ts';
import { inTurnAsync, ratioText, timingText } from './rounds.ts';

const LENGTH = { step: 2.5e-4, strides: 10 };
/** As many as keep two threads busy for far longer than the second or so that each takes to start and to have its code compiled. */
const CANDIDATES = 180;
const DESIGNS = 10_000;

/**
 * A shortlist on one worker thread and on two, threads started anew each time. Must reach 1.7 times with two on a quiet machine of two cores,
 * and 10,000 designs of 10 strides within 120 s on two.
 */
export async function walkPoolTime(input: StudyInput): Promise<string> {
  const [own] = shortlistCandidates(input, 'tern', { ratios: [] });
  const tasks = Array.from({ length: CANDIDATES }, (_, k) => ({
    study: 0,
    candidate: { knee: { ...own!.knee, ratio: 18 + (k % 8) }, ankle: { ...own!.ankle, ratio: 18 + k / 5 } },
  }));
  const on = (workers: number) => () =>
    walkInPool({ studies: [input], choice: { speed: 1.1 }, length: LENGTH }, tasks, {
      workers,
      signal: new AbortController().signal,
      done: () => {},
    });
  const { one, two } = await inTurnAsync({ one: on(1), two: on(2) }, { rounds: 5, warmUp: 0 });
  const strides = 2 * CANDIDATES * LENGTH.strides;
  const rate = (ms: number): string => ((1000 * strides) / ms).toFixed(0);
  const all = (ms: number): string => ((ms / strides / 1000) * DESIGNS * LENGTH.strides).toFixed(0);
  return [
    `Shortlist, ${CANDIDATES} candidates × ${LENGTH.strides} strides × both ends of the bracket at 0.25 ms (must reach 1.7 with two threads)`,
    `  one thread   ${timingText(one)}, ${rate(one.median)} candidates × strides a second`,
    `  two threads  ${timingText(two)}, ${rate(two.median)}; one ÷ two, round by round ${ratioText(one, two)}`,
    `  ${DESIGNS} designs × ${LENGTH.strides} strides at one end, two threads: ${all(two.median)} s, in the fastest round ${all(two.low)} s (must reach 120 s)`,
  ].join('\n');
}
