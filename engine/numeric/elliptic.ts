/**
 * Complete elliptic integral of the first kind K(m), parameter m = k², 0 ≤ m < 1, by the arithmetic–geometric mean:
 * K = π/(2·agm(1, √(1 − m))). Abramowitz & Stegun, Handbook of Mathematical Functions, 17.6. Infinity at m = 1, NaN above.
 */
export function ellipticK(m: number): number {
  if (!(m <= 1)) return Number.NaN;
  let a = 1;
  let g = Math.sqrt(1 - m);
  while (Math.abs(a - g) > 1e-15 * a) [a, g] = [(a + g) / 2, Math.sqrt(a * g)];
  return Math.PI / (2 * a);
}
