import { Matrix, SVD } from 'ml-matrix';
import quadprog from 'quadprog';
import { Fault } from '../quantity/fault.ts';

/** row·x = value, or row·x ≥ value, as the list it stands in says. */
export interface LinearConstraint {
  readonly row: Float64Array;
  readonly value: number;
}

/** The one minimum, and what each constraint costs there. */
export interface QuadraticMinimum {
  readonly x: Float64Array;
  /** ½xᵀHx − fᵀx */
  readonly objective: number;
  /** λ of H·x − f = Σ λ·row: any sign for equalities, ≥ 0 for inequalities, zero where one does not bind. */
  readonly equal: Float64Array;
  readonly atLeast: Float64Array;
}

/**
 * Least ½xᵀHx − fᵀx under linear constraints, H symmetric and positive definite: convex, so that the minimum is one and found in
 * finitely many steps. Unknowns are scaled by √H_jj first, so that units do not spoil the factorisation.
 *
 * Faults: `numeric.not-definite` where H is not positive definite, `numeric.no-feasible-point` where the constraints contradict one another.
 * Method: Goldfarb & Idnani, Math. Programming 27 (1983) 1–33 (FROM MEMORY), package quadprog; the conditions of Karush, Kuhn and
 * Tucker are the test.
 */
export function quadraticProgram(
  H: readonly Float64Array[],
  f: Float64Array,
  equal: readonly LinearConstraint[],
  atLeast: readonly LinearConstraint[],
): QuadraticMinimum {
  const n = f.length;
  const scale = H.map((row, j) => Math.sqrt(row[j]));
  if (!scale.every((s) => s > 0)) throw notDefinite();
  const all = [...equal, ...atLeast];
  const D = fromOne(n, (i) => fromOne(n, (j) => H[i][j] / (scale[i] * scale[j])));
  const d = fromOne(n, (j) => f[j] / scale[j]);
  // the package wants a constraint: 0·x ≥ −1 holds always
  const q = Math.max(1, all.length);
  const A = fromOne(n, (j) => fromOne(q, (k) => (all[k]?.row[j] ?? 0) / scale[j]));
  const b = fromOne(q, (k) => all[k]?.value ?? -1);
  const { solution, Lagrangian, value, message } = quadprog.solveQP(D, d, A, b, equal.length);
  if (message !== '') {
    if (message.includes('positive definite')) throw notDefinite();
    throw new Fault({
      code: 'numeric.no-feasible-point',
      what: 'no point keeps every constraint',
      mend: 'Widen the bounds, or drop a constraint that contradicts another',
    });
  }
  const x = Float64Array.from(scale, (s, j) => solution[j + 1]! / s);
  const binding = Float64Array.from(atLeast, (_, k) => Lagrangian[equal.length + k + 1]!);
  return {
    x,
    objective: value[1]!,
    equal: equalMultipliers(H, f, x, equal, atLeast, binding),
    atLeast: binding,
  };
}

/** λ of the equalities from H·x − f − Σ λ_atLeast·row = Σ λ_equal·row: the package loses their sign where it turns an equality round. */
function equalMultipliers(
  H: readonly Float64Array[],
  f: Float64Array,
  x: Float64Array,
  equal: readonly LinearConstraint[],
  atLeast: readonly LinearConstraint[],
  binding: Float64Array,
): Float64Array {
  if (equal.length === 0) return new Float64Array(0);
  const left = Array.from(f, (fj, j) => {
    let sum = -fj;
    for (let k = 0; k < x.length; k++) sum += H[j][k] * x[k];
    for (let k = 0; k < binding.length; k++) sum -= binding[k] * atLeast[k].row[j];
    return sum / Math.sqrt(H[j][j]);
  });
  const rows = Array.from(f, (_, j) => equal.map(({ row }) => row[j] / Math.sqrt(H[j][j])));
  return Float64Array.from(new SVD(new Matrix(rows)).solve(Matrix.columnVector(left)).to1DArray());
}

const notDefinite = (): Fault =>
  new Fault({
    code: 'numeric.not-definite',
    what: 'the quadratic form is not positive definite: some unknown is not told apart by the data',
    mend: 'Bring data that differ more, or fewer unknowns',
  });

const fromOne = <T>(n: number, of: (k: number) => T): T[] => {
  const made: T[] = [];
  for (let k = 0; k < n; k++) made[k + 1] = of(k);
  return made;
};
