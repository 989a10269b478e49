/** A Hunt–Crossley contact:  F = k·x^1.5·(1 + d·ẋ), ẋ > 0 while sinking. k N/m^1.5, d s/m. */
export interface HeelContact {
  readonly stiffness: number;
  readonly damping: number;
}

/**
 * Largest force, N, and depth, m, when `mass` kg closes at `speed` m/s on such a contact and nothing else acts.
 *
 *     m·v·dv/dx = −k·x^1.5·(1 + d·v)   →   x(v)^2.5 = (5m/2k)·g(v),   g = (v_0 − v)/d − ln((1 + d·v_0)/(1 + d·v))/d²
 *     F(v) = k·x^1.5·(1 + d·v), largest where 0.6·v = d·g(v);   undamped: F = k^0.4·(1.25·m·v_0²)^0.6
 *
 * Exponent 1.5 is that of a ball on a flat (Hertz). Hunt & Crossley, J. Applied Mechanics 42 (1975) 440–445 (FROM MEMORY). Weight
 * and whoever pushes are left out: they act long after. By bisection on v: the left side grows, the right one falls.
 */
export function contactPeak(
  contact: HeelContact,
  mass: number,
  speed: number,
): { force: number; depth: number } {
  const { stiffness: k, damping: d } = contact;
  if (d === 0) {
    const force = k ** 0.4 * (1.25 * mass * speed * speed) ** 0.6;
    return { force, depth: (force / k) ** (2 / 3) };
  }
  const g = (v: number): number => (speed - v) / d - (Math.log1p(d * speed) - Math.log1p(d * v)) / (d * d);
  const depthAt = (v: number): number => (((5 * mass) / (2 * k)) * g(v)) ** 0.4;
  let [lo, hi] = [0, speed];
  for (let i = 0; i < 60; i++) {
    const mid = (lo + hi) / 2;
    if (0.6 * mid < d * g(mid)) lo = mid;
    else hi = mid;
  }
  return { force: k * depthAt(lo) ** 1.5 * (1 + d * lo), depth: depthAt(0) };
}
