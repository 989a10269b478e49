/** Time of one piece of work: median and spread of rounds, each long enough for the clock. Milliseconds. */
export interface Timing {
  readonly median: number;
  /** Fastest and slowest round, the slowest tenth left out: a shared machine stalls now and then. */
  readonly low: number;
  readonly high: number;
  readonly rounds: number;
}

function timing(times: readonly number[]): Timing {
  const sorted = times.toSorted((a, b) => a - b);
  const at = (share: number): number =>
    sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
  return { median: at(0.5), low: sorted[0]!, high: at(0.9), rounds: sorted.length };
}

/**
 * Times several pieces of work in turn, round by round, so that a machine that slows down slows them all: the ratios hold
 * where the absolutes do not. The first rounds, in which code is still being compiled, are thrown away.
 */
export function inTurn<Name extends string>(
  works: { readonly [name in Name]: () => unknown },
  { rounds = 60, warmUp = 10, repeats = 1 }: { rounds?: number; warmUp?: number; repeats?: number } = {},
): { readonly [name in Name]: Timing } {
  const names = Object.keys(works) as Name[];
  const times = Object.fromEntries(names.map((name) => [name, [] as number[]])) as {
    [name in Name]: number[];
  };
  for (let round = -warmUp; round < rounds; round++) {
    for (const name of names) {
      const start = performance.now();
      for (let k = 0; k < repeats; k++) kept = works[name]();
      if (round >= 0) times[name].push((performance.now() - start) / repeats);
    }
  }
  return Object.fromEntries(names.map((name) => [name, timing(times[name])])) as { [name in Name]: Timing };
}

/** The same for work that ends later, such as a process. */
export async function inTurnAsync<Name extends string>(
  works: { readonly [name in Name]: () => Promise<unknown> },
  { rounds = 15, warmUp = 2 }: { rounds?: number; warmUp?: number } = {},
): Promise<{ readonly [name in Name]: Timing }> {
  const names = Object.keys(works) as Name[];
  const times = Object.fromEntries(names.map((name) => [name, [] as number[]])) as {
    [name in Name]: number[];
  };
  for (let round = -warmUp; round < rounds; round++) {
    for (const name of names) {
      const start = performance.now();
      await works[name]();
      if (round >= 0) times[name].push(performance.now() - start);
    }
  }
  return Object.fromEntries(names.map((name) => [name, timing(times[name])])) as { [name in Name]: Timing };
}

/** The last result, kept where the compiler cannot prove that nobody looks: work without a reader may be left out. */
export let kept: unknown;

/** `12.3 ms (11.9 … 13.0, 60 rounds)`. */
export function timingText({ median, low, high, rounds }: Timing): string {
  const digits = median < 1 ? 3 : median < 100 ? 2 : 0;
  return `${median.toFixed(digits)} ms (${low.toFixed(digits)} … ${high.toFixed(digits)}, ${rounds} rounds)`;
}
