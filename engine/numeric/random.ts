import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** A stream of independent draws; the same seed gives the same stream everywhere. */
export interface RandomStream {
  /** Uniform on [0, 1). */
  readonly uniform: () => number;
  /** Mean 0, standard deviation 1. */
  readonly normal: () => number;
}

/**
 * Draws from one seed, any integer.
 *
 *     z = √(−2·ln u_1)·cos(2π·u_2),  √(−2·ln u_1)·sin(2π·u_2)      Box & Muller, Ann. Math. Statist. 29 (1958) 610
 */
export function randomStream(seed: number): RandomStream {
  const generator = xoroshiro128plus(seed);
  const uniform = () => uniformFloat64(generator);
  let spare: number | undefined;
  return {
    uniform,
    normal() {
      if (spare !== undefined) {
        const kept = spare;
        spare = undefined;
        return kept;
      }
      // 1 − u is never 0
      const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
      const angle = 2 * Math.PI * uniform();
      spare = radius * Math.sin(angle);
      return radius * Math.cos(angle);
    },
  };
}
