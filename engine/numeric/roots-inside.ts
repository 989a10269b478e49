/**
 * Whether every root of a real polynomial lies inside the unit circle, by the recursion of Schur and Cohn, which is Jury's table.
 *
 *     p_(k−1)(z) = (p_k(z) − r·p*_k(z))/z,   p*_k the coefficients reversed, r = p_k(0)/leading;   all |r| < 1 ⇔ all |z| < 1
 *
 * `coefficients` from the constant upwards, the leading one last and not zero; they are used up. Jury, Theory and Application of the
 * z-Transform Method (Wiley, 1964) (FROM MEMORY); roots that are known are its witness in the test.
 */
export function rootsInside(coefficients: Float64Array): boolean {
  const p = coefficients;
  const top = p.length - 1;
  // what is left stands from `low` up
  for (let low = 0; low < top; low++) {
    const r = p[low] / p[top];
    if (!(Math.abs(r) < 1)) return false;
    for (let i = low, j = top; i <= j; i++, j--) {
      const [a, b] = [p[i], p[j]];
      p[i] = a - r * b;
      p[j] = b - r * a;
    }
  }
  return true;
}

/**
 * Largest |z| of the roots of a real polynomial: p(ρ·z) has them all inside the unit circle for every larger ρ. By bisection up to
 * `most`; +∞ beyond.
 */
export function largestRoot(coefficients: Float64Array, most: number): number {
  const scaled = new Float64Array(coefficients.length);
  const inside = (rho: number): boolean => {
    for (let i = 0, power = 1; i < scaled.length; i++, power *= rho) scaled[i] = coefficients[i] * power;
    return rootsInside(scaled);
  };
  if (!inside(most)) return Number.POSITIVE_INFINITY;
  let [lo, hi] = [0, most];
  for (let k = 0; k < 60; k++) {
    const mid = (lo + hi) / 2;
    if (inside(mid)) hi = mid;
    else lo = mid;
  }
  return hi;
}
