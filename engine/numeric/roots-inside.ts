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
      const a = p[i];
      const b = p[j];
      p[i] = a - r * b;
      p[j] = b - r * a;
    }
  }
  return true;
}

/** Halvings after which nothing is left between the two ends. */
const HALVINGS = 60;

/** Between which the largest |z| of the roots of a polynomial is known to lie: it narrows as it is asked. */
export interface RootBracket {
  readonly coefficients: Float64Array;
  /** Room to work in. */
  readonly scaled: Float64Array;
  lo: number;
  hi: number;
  /** Halvings that are left. */
  left: number;
}

function inside(coefficients: Float64Array, scaled: Float64Array, rho: number): boolean {
  for (let i = 0, power = 1; i < scaled.length; i++, power *= rho) scaled[i] = coefficients[i] * power;
  return rootsInside(scaled);
}

/** From 0 to `most`; +∞ beyond. */
export function rootBracket(coefficients: Float64Array, most: number): RootBracket {
  const scaled = new Float64Array(coefficients.length);
  return inside(coefficients, scaled, most)
    ? { coefficients, scaled, lo: 0, hi: most, left: HALVINGS }
    : { coefficients, scaled, lo: Number.POSITIVE_INFINITY, hi: Number.POSITIVE_INFINITY, left: 0 };
}

function halve(bracket: RootBracket): void {
  const middle = (bracket.lo + bracket.hi) / 2;
  if (inside(bracket.coefficients, bracket.scaled, middle)) bracket.hi = middle;
  else bracket.lo = middle;
  bracket.left--;
}

/**
 * Largest |z| of the roots of a real polynomial: p(ρ·z) has them all inside the unit circle for every larger ρ. By bisection up to
 * `most`; +∞ beyond.
 */
export function largestRoot(coefficients: Float64Array, most: number): number {
  const bracket = rootBracket(coefficients, most);
  while (bracket.left > 0) halve(bracket);
  return bracket.hi;
}

/**
 * Whether the largest |z| of one is less than that of the other, as `largestRoot` of both says: each is halved only until they no longer overlap.
 * Both begin with the same ends.
 */
export function lessRoot(one: RootBracket, other: RootBracket): boolean {
  while (one.left > 0 || other.left > 0) {
    if (one.hi <= other.lo) return true;
    if (other.hi <= one.lo) return false;
    const [a, b] = [one.left, other.left];
    if (a >= b) halve(one);
    if (b >= a) halve(other);
  }
  return one.hi < other.hi;
}
