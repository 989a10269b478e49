/** Φ, the normal distribution, by its series: Abramowitz & Stegun 26.2.10. For tests. */
export function normalBelow(x: number): number {
  let term = x;
  let sum = x;
  for (let n = 1; Math.abs(term) > 1e-17 * Math.abs(sum); n++) {
    term *= (-x * x * (2 * n - 1)) / (2 * n * (2 * n + 1));
    sum += term;
  }
  return 0.5 + sum / Math.sqrt(2 * Math.PI);
}
