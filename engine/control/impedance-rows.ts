import type { LinearConstraint } from '../numeric/quadratic-program.ts';
import type { ActiveBound, ImpedanceBounds } from './impedance.ts';

/** A bound as a row of the quadratic program, with its name. */
export interface BoundRow extends LinearConstraint {
  readonly bound: ActiveBound['bound'];
  readonly end: ActiveBound['end'];
}

/**
 * Bounds of the impedance whose K, c, B stand at these places among `unknowns` unknowns, all linear for K > 0:
 *
 *     K_lo ≤ K ≤ K_hi,   B_lo ≤ B ≤ B_hi,   θ_lo·K ≤ c ≤ θ_hi·K
 */
export function boundRows(
  { stiffness, damping, equilibrium }: ImpedanceBounds,
  [k, c, b]: readonly [number, number, number],
  unknowns: number,
): BoundRow[] {
  const row = (
    bound: BoundRow['bound'],
    end: BoundRow['end'],
    entries: [number, number][],
    value: number,
  ) => {
    const of = new Float64Array(unknowns);
    for (const [at, entry] of entries) of[at] = entry;
    return { bound, end, row: of, value };
  };
  return [
    row('stiffness', 'high', [[k, -1]], -stiffness.high),
    row('stiffness', 'low', [[k, 1]], stiffness.low),
    row('damping', 'high', [[b, -1]], -damping.high),
    row('damping', 'low', [[b, 1]], damping.low),
    row(
      'equilibrium',
      'high',
      [
        [k, equilibrium.high],
        [c, -1],
      ],
      0,
    ),
    row(
      'equilibrium',
      'low',
      [
        [k, -equilibrium.low],
        [c, 1],
      ],
      0,
    ),
  ];
}

/** The bounds that bind, with what each costs. */
export const activeBounds = (rows: readonly BoundRow[], multipliers: Float64Array): ActiveBound[] =>
  rows.flatMap(({ bound, end }, k) =>
    multipliers[k] > 0 ? [{ bound, end, multiplier: multipliers[k] }] : [],
  );

/** AᵀA and Aᵀy added to `H` and `f`, with the unknowns of A from `at` on. */
export function addNormal(
  H: readonly Float64Array[],
  f: Float64Array,
  rows: readonly Float64Array[],
  y: Float64Array,
  at = 0,
): void {
  for (let r = 0; r < rows.length; r++) {
    const a = rows[r];
    for (let i = 0; i < a.length; i++) {
      f[at + i] += a[i] * y[r];
      for (let j = 0; j < a.length; j++) H[at + i][at + j] += a[i] * a[j];
    }
  }
}

/** Square of zeros. */
export const zeros = (n: number): Float64Array[] => Array.from({ length: n }, () => new Float64Array(n));
