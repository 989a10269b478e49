import { Matrix, SVD } from 'ml-matrix';

/** How well the rows A of a least-squares problem A·x ≈ y tell its unknowns apart. */
export interface Conditioning {
  /** cond₂(A) = σ_max/σ_min; +∞ where columns depend on one another. */
  readonly condition: number;
  /** √diag((AᵀA)⁻¹): standard deviation of each unknown for white noise of one unit in each row; +∞ where it is not told. */
  readonly perNoise: Float64Array;
}

/** Conditioning by the singular values of A = U·Σ·Vᵀ: (AᵀA)⁻¹ = V·Σ⁻²·Vᵀ. The units of the columns are part of it. */
export function conditioning(rows: readonly Float64Array[]): Conditioning {
  const columns = rows[0]?.length ?? 0;
  const perNoise = new Float64Array(columns).fill(Number.POSITIVE_INFINITY);
  if (columns === 0 || rows.length < columns) return { condition: Number.POSITIVE_INFINITY, perNoise };
  const { diagonal, rightSingularVectors: V } = new SVD(new Matrix(rows.map((row) => [...row])), {
    computeLeftSingularVectors: false,
  });
  const [most, least] = [Math.max(...diagonal), Math.min(...diagonal)];
  if (!(least > most * Number.EPSILON * rows.length))
    return { condition: Number.POSITIVE_INFINITY, perNoise };
  for (let j = 0; j < columns; j++) {
    let sum = 0;
    for (let k = 0; k < columns; k++) sum += (V.get(j, k) / diagonal[k]!) ** 2;
    perNoise[j] = Math.sqrt(sum);
  }
  return { condition: most / least, perNoise };
}
