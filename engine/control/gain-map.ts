import { rootsInside } from '../numeric/roots-inside.ts';
import type { LoopPolynomial } from './loop-polynomial.ts';
import { passivityGrids } from './passivity.ts';
import { ownDamping, type SampledJoint } from './sampled-joint.ts';

/** Both verdicts over stiffness and damping of the software, row by row: damping by damping, in each every stiffness. */
export interface GainMap {
  /** N·m/rad and N·m·s/rad, evenly apart. */
  readonly stiffnesses: Float64Array;
  readonly dampings: Float64Array;
  /** 1: stable with every load. */
  readonly stable: Uint8Array;
  /** 1: passive. */
  readonly passive: Uint8Array;
}

/**
 * Stability with every one of `loops` and passivity of `joint` at `size` × `size` gains, up to `stiffness` and `damping`. Polynomial and
 * passivity are linear in both gains, so that a point costs a few dozen sums for the one and one pass over the grid for the other.
 */
export function gainMap(
  joint: SampledJoint,
  loops: readonly LoopPolynomial[],
  { stiffness, damping }: { readonly stiffness: number; readonly damping: number },
  size = 200,
): GainMap {
  const stiffnesses = Float64Array.from({ length: size }, (_, k) => (stiffness * (k + 1)) / size);
  const dampings = Float64Array.from({ length: size }, (_, k) => (damping * k) / (size - 1));
  const stable = new Uint8Array(size * size).fill(1);
  const passive = new Uint8Array(size * size).fill(1);
  for (const { open, spring, damper } of loops) {
    const p = new Float64Array(open.length);
    for (let row = 0; row < size; row++)
      for (let column = 0; column < size; column++) {
        const [K, B] = [stiffnesses[column], dampings[row]];
        for (let i = 0; i < p.length; i++) p[i] = open[i] + K * spring[i] + B * damper[i];
        if (!rootsInside(p)) stable[row * size + column] = 0;
      }
  }
  const own = ownDamping(joint);
  for (const { spring, damper } of passivityGrids(joint))
    for (let row = 0; row < size; row++) {
      const B = dampings[row];
      for (let column = 0; column < size; column++) {
        const K = stiffnesses[column];
        for (let k = 0; k < spring.length; k++)
          if (!(own > K * spring[k] + B * damper[k])) {
            passive[row * size + column] = 0;
            break;
          }
      }
    }
  return { stiffnesses, dampings, stable, passive };
}
