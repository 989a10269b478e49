/** Where a function of one number is least, and its value there. */
export interface Minimum {
  readonly at: number;
  readonly value: number;
}

const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * Least f on [low, high]: the best of `grid` + 1 even points, then golden-section search between its neighbours until they are
 * `tolerance` apart. Finds the deepest valley that is wider than a grid step; the ends count. Kiefer, Proc. AMS 4 (1953) 502.
 */
export function minimum(
  f: (x: number) => number,
  low: number,
  high: number,
  { grid = 24, tolerance = 1e-6 * (high - low) }: { grid?: number; tolerance?: number } = {},
): Minimum {
  const step = (high - low) / grid;
  let best: Minimum = { at: low, value: f(low) };
  for (let k = 1; k <= grid; k++) {
    const at = k === grid ? high : low + k * step;
    const value = f(at);
    if (value < best.value) best = { at, value };
  }
  let a = Math.max(low, best.at - step);
  let b = Math.min(high, best.at + step);
  let c = b - GOLDEN * (b - a);
  let d = a + GOLDEN * (b - a);
  let fc = f(c);
  let fd = f(d);
  while (b - a > tolerance) {
    if (fc < fd) {
      b = d;
      d = c;
      fd = fc;
      c = b - GOLDEN * (b - a);
      fc = f(c);
    } else {
      a = c;
      c = d;
      fc = fd;
      d = a + GOLDEN * (b - a);
      fd = f(d);
    }
  }
  const inner: Minimum = fc < fd ? { at: c, value: fc } : { at: d, value: fd };
  return inner.value < best.value ? inner : best;
}
