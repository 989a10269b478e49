import { Matrix, SingularValueDecomposition } from 'ml-matrix';

/**
 * x that makes ‖A·x − b‖ least, by the singular values of A (Golub & Van Loan, Matrix Computations, 4th ed., §5.5).
 * RangeError where the columns of A do not determine x within rounding, or there are fewer rows than columns.
 */
export function leastSquares(rows: readonly ArrayLike<number>[], right: ArrayLike<number>): Float64Array {
  const columns = rows[0]?.length ?? 0;
  if (rows.length < columns || right.length !== rows.length || columns === 0)
    throw new RangeError(`${rows.length} rows cannot determine ${columns} unknowns`);
  const svd = new SingularValueDecomposition(new Matrix(rows.map((row) => Array.from(row))));
  if (svd.rank < columns) throw new RangeError('the columns are not independent');
  return Float64Array.from(svd.solve(Matrix.columnVector(Array.from(right))).to1DArray());
}
