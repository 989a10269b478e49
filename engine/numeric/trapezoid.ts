/**
 * ∫ y dx over evenly spaced samples, both ends included: h·(y_0/2 + y_1 + … + y_{n−1}/2).
 * NaN anywhere makes the integral NaN.
 */
export function trapezoid(y: Float64Array, step: number): number {
  let sum = (y[0] + y[y.length - 1]) / 2;
  for (let i = 1; i < y.length - 1; i++) sum += y[i];
  return sum * step;
}

/** Mean of a curve sampled evenly, both ends included. */
export const curveMean = (y: Float64Array): number => trapezoid(y, 1 / (y.length - 1));

/** Root mean square of a curve sampled evenly, both ends included. */
export function curveRms(y: Float64Array): number {
  let sum = (y[0] ** 2 + y[y.length - 1] ** 2) / 2;
  for (let i = 1; i < y.length - 1; i++) sum += y[i] * y[i];
  return Math.sqrt(sum / (y.length - 1));
}
