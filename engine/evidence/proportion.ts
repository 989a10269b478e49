/** A probability from counting draws, with what the number of draws leaves unknown of it. */
export interface Proportion {
  readonly share: number;
  readonly low: number;
  readonly high: number;
  readonly level: 0.95;
  readonly method: 'Wilson score';
}

/** z at 97.5 %: NIST/SEMATECH e-Handbook, §1.3.6.7.1, 1.960. */
const Z975 = 1.959963984540054;

/**
 * Share of `hits` in `draws` with its 95 % interval:
 *
 *     (p + z²/2n ± z·√[p·(1 − p)/n + z²/4n²])/(1 + z²/n)
 *
 * Wilson, J. Amer. Statist. Assoc. 22 (1927) 209. Holds its level near 0 and 1 too, where p ± z·√(p·(1 − p)/n) would claim certainty.
 */
export function proportion(hits: number, draws: number): Proportion {
  const p = hits / draws;
  const z2 = Z975 * Z975;
  const middle = p + z2 / (2 * draws);
  const half = Z975 * Math.sqrt((p * (1 - p)) / draws + z2 / (4 * draws * draws));
  const scale = 1 + z2 / draws;
  return {
    share: p,
    low: hits === 0 ? 0 : (middle - half) / scale,
    high: hits === draws ? 1 : (middle + half) / scale,
    level: 0.95,
    method: 'Wilson score',
  };
}
