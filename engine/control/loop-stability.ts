import { largestRoot, type RootBracket, rootBracket, rootsInside } from '../numeric/roots-inside.ts';
import type { LoopPolynomial } from './loop-polynomial.ts';
import type { Gains } from './sampled-joint.ts';

/** p(z) at these gains, into `into`. */
function at(loop: LoopPolynomial, K: number, B: number, into: Float64Array): Float64Array {
  const { open, spring, damper } = loop;
  for (let i = 0; i < into.length; i++) into[i] = open[i] + K * spring[i] + B * damper[i];
  return into;
}

/** Whether the sampled loop is stable: every root of its polynomial inside the unit circle. */
export const stable = (loop: LoopPolynomial, { stiffness, damping }: Gains): boolean =>
  rootsInside(at(loop, stiffness, damping, new Float64Array(loop.open.length)));

/** Up to which |z| it is looked for. */
const MOST_ROOT = 16;

/** Largest |z| of the loop: what is left of a disturbance after each period. Above 1 it grows. */
export const slowestRoot = (loop: LoopPolynomial, { stiffness, damping }: Gains): number =>
  largestRoot(at(loop, stiffness, damping, new Float64Array(loop.open.length)), MOST_ROOT);

/** The same, only as closely as it is asked. */
export const slowestBracket = (loop: LoopPolynomial, { stiffness, damping }: Gains): RootBracket =>
  rootBracket(at(loop, stiffness, damping, new Float64Array(loop.open.length)), MOST_ROOT);

/** Stiffness at which the search begins and how far it goes, as shares of J/T² of the joint; and its step. Our choice. */
const LEAST = 1e-6;
const MOST = 16;
const STEP = 1.05;

/**
 * Largest stiffness, N·m/rad, up to which every smaller one is stable too at this damping, by steps of 5 % and bisection; 0 where none
 * is. `scale` J/T² of the joint, where the search looks. Stable for ever: +∞.
 */
export function largestStableStiffness(loop: LoopPolynomial, damping: number, scale: number): number {
  const scratch = new Float64Array(loop.open.length);
  const ok = (K: number): boolean => rootsInside(at(loop, K, damping, scratch));
  let K = LEAST * scale;
  if (!ok(K)) return 0;
  while (ok(K * STEP)) {
    K *= STEP;
    if (K > MOST * scale) return Number.POSITIVE_INFINITY;
  }
  let [lo, hi] = [K, K * STEP];
  for (let k = 0; k < 40; k++) {
    const mid = (lo + hi) / 2;
    if (ok(mid)) lo = mid;
    else hi = mid;
  }
  return lo;
}
