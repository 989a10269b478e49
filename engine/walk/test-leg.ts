import { TERM } from './leg-terms.ts';

/** An invented leg of round numbers, the one the reference table of leg dynamics was made with. */
export const TEST_LEG = {
  gravity: 9.81,
  body: 0,
  thigh: { length: 0.42, mass: 5.5, inertia: 0.085, centre: { x: 0.01, z: -0.19 } },
  shank: { length: 0.43, mass: 3.2, inertia: 0.048, centre: { x: 0.015, z: -0.16 } },
  foot: { length: 0, mass: 1.1, inertia: 0.0065, centre: { x: 0.045, z: -0.045 } },
  kneeOutputInertia: 0.045,
  ankleOutputInertia: 0.06,
} as const;

/** A point of the foot from the hip, m, and a force there as a generalised force: virtual work written out. */
export function pushAt(
  terms: Float64Array,
  point: { readonly x: number; readonly z: number },
  forward: number,
  up: number,
): { readonly x: number; readonly z: number; readonly force: Float64Array } {
  const [s, c] = [terms[TERM.footSin]!, terms[TERM.footCos]!];
  const [footX, footZ] = [point.x * c - point.z * s, point.x * s + point.z * c];
  const [x, z] = [terms[TERM.ankleX]! + footX, terms[TERM.ankleZ]! + footZ];
  const [kneeX, kneeZ] = [terms[TERM.shankX]! + footX, terms[TERM.shankZ]! + footZ];
  const force = Float64Array.of(
    forward,
    up,
    x * up - z * forward,
    kneeZ * forward - kneeX * up,
    footX * up - footZ * forward,
  );
  return { x, z, force };
}

/** Even numbers between 0 and 1, the same every time: Lehmer's generator, Park & Miller, CACM 31 (1988) 1192. */
export function drawn(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}
