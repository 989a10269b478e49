import { ROW, type ScanSamples } from './scan-samples.ts';

/** Relative step past a root: far below any meaning of a ratio, above its roundings; our choice. */
const STEP = 1e-12;

/** What stays the same while the ratio moves: one motor with its gears' efficiencies. SI, on the shaft. */
export interface RatioFree {
  /** J_m + J_in, kg·m². */
  readonly inertia: number;
  /** b and τ_c. */
  readonly viscous: number;
  readonly coulomb: number;
  readonly drivingEfficiency: number;
  readonly backDrivenEfficiency: number;
}

/**
 * The smallest ratio from `from` on at which no sample asks the motor for more than `most`, N·m, and which task asks last; +∞ where
 * there is none. Samples without a moment are passed over: they ask nothing that is known.
 *
 * Each sample is |M/N + S·N + C| ≤ τ_max with M the gears' torque through the mesh, S = (J_m + J_in)·θ̈ + b·θ̇ and C = τ_c·sgn θ̇:
 * two quadratics in N,
 *
 *     S·N² + (C − τ_max)·N + M ≤ 0   and   −S·N² − (C + τ_max)·N − M ≤ 0
 *
 * A ratio that breaks one is raised to its next root, until none is broken: no grid, and nothing smaller is left out. Exact with
 * saturation too, since |τ_m| ≤ τ(i_max) is |i| ≤ i_max; the same gears at every ratio.
 */
export function smallestTorqueRatio(
  { start, rows }: ScanSamples,
  free: RatioFree,
  most: number,
  from: number,
): { readonly ratio: number; readonly task: number } {
  const { inertia, viscous, coulomb, drivingEfficiency, backDrivenEfficiency } = free;
  let ratio = from;
  let decides = -1;
  for (let moved = true; moved; ) {
    moved = false;
    for (let task = 0; task < start.length - 1; task++) {
      for (let k = start[task] * ROW; k < start[task + 1] * ROW; k += ROW) {
        const mesh = rows[k] / drivingEfficiency + rows[k + 1] * backDrivenEfficiency;
        const slope = inertia * rows[k + 2] + viscous * rows[k + 3];
        const constant = coulomb * rows[k + 4];
        const torque = mesh / ratio + slope * ratio + constant;
        if (!(Math.abs(torque) > most)) continue;
        const side = torque < 0 ? -1 : 1;
        const next = nextRoot(side * slope, side * constant - most, side * mesh, ratio);
        if (next === Number.POSITIVE_INFINITY) return { ratio: next, task };
        ratio = next;
        decides = task;
        moved = true;
      }
    }
  }
  return { ratio, task: decides };
}

/**
 * The smallest N above `above` at which a·N² + b·N + c falls to zero, given that it is above zero there; +∞ where it never does. The
 * root is stepped over by a little more than roundings, so that it does not break the limit again.
 */
function nextRoot(a: number, b: number, c: number, above: number): number {
  let root: number;
  if (a === 0) root = b < 0 ? -c / b : Number.POSITIVE_INFINITY;
  else {
    const rest = b * b - 4 * a * c;
    if (rest < 0) return Number.POSITIVE_INFINITY;
    // the two roots without a difference of like numbers
    const q = -(b + (b < 0 ? -1 : 1) * Math.sqrt(rest)) / 2;
    const [one, other] = [q / a, c / q];
    root = Number.POSITIVE_INFINITY;
    if (one > above) root = one;
    if (other > above && other < root) root = other;
  }
  return Math.max(root, above) * (1 + STEP);
}
