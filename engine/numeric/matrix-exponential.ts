/**
 * e^A of a small square matrix, n × n row by row.
 *
 *     e^A = (Σ_k (A/2^s)^k/k!)^(2^s),   s so that ‖A/2^s‖_∞ ≤ ½
 *
 * Taylor with scaling and squaring: 18 terms leave ½^19/19! < 1e-22. For a matrix whose norm is not huge, such as a plant over one period.
 */
export function matrixExponential(a: Float64Array, n: number): Float64Array {
  let norm = 0;
  for (let i = 0; i < n; i++) {
    let row = 0;
    for (let j = 0; j < n; j++) row += Math.abs(a[i * n + j]);
    norm = Math.max(norm, row);
  }
  const squarings = norm > 0.5 ? Math.ceil(Math.log2(norm / 0.5)) : 0;
  const scaled = a.map((x) => x / 2 ** squarings);
  let sum = identity(n);
  let term = identity(n);
  for (let k = 1; k <= 18; k++) {
    term = matrixProduct(term, scaled, n).map((x) => x / k);
    for (let i = 0; i < sum.length; i++) sum[i] += term[i];
  }
  for (let s = 0; s < squarings; s++) sum = matrixProduct(sum, sum, n);
  return sum;
}

function identity(n: number): Float64Array {
  const one = new Float64Array(n * n);
  for (let i = 0; i < n; i++) one[i * n + i] = 1;
  return one;
}

/** A·B of two n × n matrices, row by row. */
export function matrixProduct(a: Float64Array, b: Float64Array, n: number): Float64Array {
  const c = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let k = 0; k < n; k++) {
      const x = a[i * n + k];
      for (let j = 0; j < n; j++) c[i * n + j] += x * b[k * n + j];
    }
  return c;
}
