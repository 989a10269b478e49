import { leastSquares } from '../numeric/least-squares.ts';

/** Weights of the four control points around one place, and the first of them. */
function weights(m: number, s: number): { readonly first: number; readonly weight: readonly number[] } {
  const u = (s - Math.floor(s)) * m;
  const i = Math.floor(u);
  const t = u - i;
  return {
    first: i - 1,
    weight: [
      (1 - t) ** 3 / 6,
      (3 * t ** 3 - 6 * t ** 2 + 4) / 6,
      (-3 * t ** 3 + 3 * t ** 2 + 3 * t + 1) / 6,
      t ** 3 / 6,
    ],
  };
}

/** Share of each of m control points in the periodic spline's value at s: adds up to 1, four at a time are not 0. */
export function splineBasis(m: number, s: number): Float64Array {
  const row = new Float64Array(m);
  const { first, weight } = weights(m, s);
  weight.forEach((w, k) => {
    row[(first + k + m) % m] += w;
  });
  return row;
}

/**
 * Control points of a periodic cubic B-spline through data of one stride, by least squares.
 *
 *     u = s·m,  i = ⌊u⌋,  t = u − i
 *     q = [(1 − t)³·c_{i−1} + (3t³ − 6t² + 4)·c_i + (−3t³ + 3t² + 3t + 1)·c_{i+1} + t³·c_{i+2}]/6,   indices modulo m
 *
 * Two continuous derivatives everywhere, initial contact included. A control point is felt over four spans only: one event can be
 * edited by hand and the rest of the stride stays, which a Fourier series cannot do. de Boor, A Practical Guide to Splines
 * (Springer, 1978), ch. IX. RangeError where the data do not determine m control points.
 */
export const splineTrajectory = (s: ArrayLike<number>, y: ArrayLike<number>, m: number): Float64Array =>
  leastSquares(
    Array.from(s, (at) => splineBasis(m, at)),
    y,
  );

/** Value of the spline with these control points at s. */
export function splineTrajectoryAt(points: ArrayLike<number>, s: number): number {
  const { first, weight } = weights(points.length, s);
  return weight.reduce((sum, w, k) => sum + w * points[(first + k + points.length) % points.length], 0);
}
