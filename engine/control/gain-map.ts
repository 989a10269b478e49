import { rootsInside } from '../numeric/roots-inside.ts';
import type { LoopPolynomial } from './loop-polynomial.ts';
import { stable } from './loop-stability.ts';
import { type PassivityGrid, passivityGrids } from './passivity.ts';
import { ownDamping, type SampledJoint } from './sampled-joint.ts';
import { softwareGains } from './software-gains.ts';

/** Stiffness and damping at the joint, N·m/rad and N·m·s/rad, rising. */
export interface GainGrid {
  readonly stiffnesses: Float64Array;
  readonly dampings: Float64Array;
}

/** Both verdicts over stiffness and damping of the joint, row by row: damping by damping, in each every stiffness. */
export interface GainMap extends GainGrid {
  /** 1: stable with every load. */
  readonly stable: Uint8Array;
  /** 1: passive. */
  readonly passive: Uint8Array;
  /** 1: within what the gears allow; beyond, no software makes the joint so stiff, and neither verdict is given. */
  readonly within: Uint8Array;
  /**
   * By row: the stiffness up to which each smaller one of the grid is stable too, found between two points by halving; NaN where the first
   * is not, +∞ where all are.
   */
  readonly stableUpTo: Float64Array;
}

/**
 * Stability with every one of `loops` and passivity of `joint` at every point of the grid, for the gains that software holds there.
 * Polynomial and passivity are linear in these, so that a point costs a few dozen sums for the one and one pass over the grid for the other.
 */
export function gainMap(joint: SampledJoint, loops: readonly LoopPolynomial[], grid: GainGrid): GainMap {
  const { stiffnesses, dampings } = grid;
  const [columns, rows] = [stiffnesses.length, dampings.length];
  const verdict = () => new Uint8Array(columns * rows);
  const map = { stable: verdict(), passive: verdict(), within: verdict() };
  const stableUpTo = new Float64Array(rows);
  const grids = passivityGrids(joint);
  const failed = new Uint32Array(grids.length);
  const scratch = loops.map(({ open }) => new Float64Array(open.length));
  const own = ownDamping(joint);
  // what the software holds for 1 N·m·s/rad at each stiffness
  const software = Array.from(stiffnesses, (stiffness) => softwareGains(joint, { stiffness, damping: 1 }));
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const held = software[column];
      if (held === undefined) continue;
      const at = row * columns + column;
      const [K, B] = [held.stiffness, held.damping * dampings[row]];
      map.within[at] = 1;
      map.stable[at] = loops.every((loop, k) => inside(loop, K, B, scratch[k])) ? 1 : 0;
      map.passive[at] = grids.every((each, n) => serves(each, own, K, B, failed, n)) ? 1 : 0;
    }
    const first = map.stable.subarray(row * columns, (row + 1) * columns).indexOf(0);
    stableUpTo[row] =
      first === 0
        ? Number.NaN
        : first < 0
          ? Number.POSITIVE_INFINITY
          : between(joint, loops, dampings[row], stiffnesses[first - 1], stiffnesses[first]);
  }
  return { ...grid, ...map, stableUpTo };
}

function inside({ open, spring, damper }: LoopPolynomial, K: number, B: number, p: Float64Array): boolean {
  for (let i = 0; i < p.length; i++) p[i] = open[i] + K * spring[i] + B * damper[i];
  return rootsInside(p);
}

/**
 * Whether the joint's own damping is more than the law asks for at every frequency. The one at which the last point failed is asked first:
 * neighbours fail at the same.
 */
function serves(
  { spring, damper }: PassivityGrid,
  own: number,
  K: number,
  B: number,
  failed: Uint32Array,
  n: number,
): boolean {
  if (!(own > K * spring[failed[n]] + B * damper[failed[n]])) return false;
  for (let k = 0; k < spring.length; k++)
    if (!(own > K * spring[k] + B * damper[k])) {
      failed[n] = k;
      return false;
    }
  return true;
}

/** Where between a stable and an unstable stiffness it turns. */
function between(
  joint: SampledJoint,
  loops: readonly LoopPolynomial[],
  damping: number,
  from: number,
  to: number,
): number {
  let [lo, hi] = [from, to];
  for (let k = 0; k < 30; k++) {
    const mid = (lo + hi) / 2;
    const software = softwareGains(joint, { stiffness: mid, damping });
    if (software !== undefined && loops.every((loop) => stable(loop, software))) lo = mid;
    else hi = mid;
  }
  return lo;
}
