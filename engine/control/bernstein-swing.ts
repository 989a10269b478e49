import { leastSquares } from '../numeric/least-squares.ts';

/** Value and slope at both ends of a swing, s = 0 and 1. */
export interface SwingEnds {
  readonly from: number;
  readonly fromSlope: number;
  readonly to: number;
  readonly toSlope: number;
}

/** Bernstein polynomials of degree N at s: N!/(k!·(N − k)!)·s^k·(1 − s)^(N − k). */
function bernstein(degree: number, s: number): Float64Array {
  const row = new Float64Array(degree + 1);
  row[0] = 1;
  // from one degree to the next, by the triangle
  for (let n = 1; n <= degree; n++)
    for (let k = n; k >= 0; k--) row[k] = (1 - s) * row[k] + (k > 0 ? s * row[k - 1] : 0);
  return row;
}

/**
 * A swing alone, not a whole stride: coefficients of degree N ≥ 4 by least squares, its ends held.
 *
 *     q(s) = Σ c_k·B_k(s),   c_0 = q(0),  c_1 = c_0 + q′(0)/N,  c_{N−1} = c_N − q′(1)/N,  c_N = q(1)
 *
 * The curve lies between the least and the largest coefficient, so a bound on them is a bound on the joint. Farouki, Computer
 * Aided Geometric Design 29 (2012) 379, FROM MEMORY.
 */
export function bernsteinSwing(
  s: ArrayLike<number>,
  y: ArrayLike<number>,
  degree: number,
  ends: SwingEnds,
): Float64Array {
  const made = new Float64Array(degree + 1);
  made[0] = ends.from;
  made[1] = ends.from + ends.fromSlope / degree;
  made[degree - 1] = ends.to - ends.toSlope / degree;
  made[degree] = ends.to;
  const rows = Array.from(s, (at) => bernstein(degree, at));
  const left = rows.map(
    (row, i) =>
      y[i] -
      row[0] * made[0] -
      row[1] * made[1] -
      row[degree - 1] * made[degree - 1] -
      row[degree] * made[degree],
  );
  made.set(
    leastSquares(
      rows.map((row) => row.slice(2, degree - 1)),
      left,
    ),
    2,
  );
  return made;
}

/** Value of the swing with these coefficients at s, by de Casteljau's halving of the way: stable, and within their range. */
export function bernsteinSwingAt(coefficients: Float64Array, s: number): number {
  const c = Float64Array.from(coefficients);
  for (let n = c.length - 1; n > 0; n--) for (let k = 0; k < n; k++) c[k] += s * (c[k + 1] - c[k]);
  return c[0];
}
