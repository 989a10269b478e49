import { type StudyInput, shortlistCandidates } from '@striderule/engine';
import { walkInPool } from '../apps/cli/walk-pool.ts';

const DESIGNS = 10_000;
/** At each end of the bracket: ten a design. */
const STRIDES = 5;
/** Designs of a round, and after how many the clock starts: threads take a second or so to start and to have their code compiled. */
const ROUND = { warm: 60, counted: 240 };
const ROUNDS = 5;

/**
 * A shortlist on one worker thread and on two, which must be 1.7 times as fast on a quiet machine of two cores; and 10,000 designs of 10 strides
 * on two, from the first thread's start to the last walk, which must take no more than 120 s. Every design has a ratio of its own at the ankle,
 * and is planned anew.
 */
export async function walkPoolTime(input: StudyInput): Promise<string> {
  const [own] = shortlistCandidates(input, 'tern', { ratios: [] });
  /** s since the start at which each of so many designs was done. */
  const doneAt = async (designs: number, workers: number): Promise<number[]> => {
    const start = performance.now();
    const at: number[] = [];
    await walkInPool(
      {
        studies: [input],
        choice: { speed: 1.1 },
        length: { step: 2.5e-4, strides: STRIDES },
      },
      Array.from({ length: designs }, (_, k) => ({
        study: 0,
        candidate: {
          knee: { ...own!.knee, ratio: 18 + (k % 8) },
          ankle: { ...own!.ankle, ratio: 18 + (36 * k) / designs },
        },
      })),
      {
        workers,
        signal: new AbortController().signal,
        done: () => {
          at.push((performance.now() - start) / 1000);
        },
      },
    );
    return at;
  };
  /** Designs a second, once all threads are at work. */
  const rate = async (workers: number): Promise<number> => {
    const at = await doneAt(ROUND.warm + ROUND.counted, workers);
    return ROUND.counted / (at.at(-1)! - at[ROUND.warm - 1]!);
  };
  const rounds: { readonly one: number; readonly two: number }[] = [];
  for (let round = 0; round < ROUNDS; round++) rounds.push({ one: await rate(1), two: await rate(2) });
  const whole = await doneAt(DESIGNS, 2);
  const spread = (values: readonly number[], digits: number): string => {
    const sorted = values.toSorted((a, b) => a - b);
    const text = (k: number): string => sorted[k]!.toFixed(digits);
    return `${text(sorted.length >> 1)} (${text(0)} … ${text(sorted.length - 1)}, ${ROUNDS} rounds)`;
  };
  const rates = (thread: 'one' | 'two'): string =>
    spread(
      rounds.map((round) => round[thread]),
      1,
    );
  const ratios = rounds.map(({ one, two }) => two / one);
  return [
    `Designs of ${2 * STRIDES} strides, half at each end of the bracket, at 0.25 ms, each planned anew`,
    `  one thread   ${rates('one')} a second`,
    `  two threads  ${rates('two')} a second; ÷ one, round by round ${spread(ratios, 2)}   (must reach 1.7)`,
    `  ${DESIGNS} designs, two threads, starts included: ${whole.at(-1)!.toFixed(0)} s, the first after ${whole[0]!.toFixed(1)} s   (must stay within 120 s)`,
  ].join('\n');
}
