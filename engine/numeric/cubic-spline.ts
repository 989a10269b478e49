/** A cubic spline by its knots, values and second derivatives; all arrays of one length. */
export interface CubicSpline {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Second derivative at each knot. */
  readonly m: Float64Array;
}

/** How a spline ends: meeting its own beginning with two continuous derivatives, or with one cubic over the last two gaps. */
export type SplineEnds = 'periodic' | 'not-a-knot';

/**
 * Interpolating cubic spline through (x_i, y_i), x rising, at least 4 knots.
 *
 *     h_{i−1}·m_{i−1} + 2(h_{i−1} + h_i)·m_i + h_i·m_{i+1} = 6·(d_i − d_{i−1}),   d_i = (y_{i+1} − y_i)/h_i
 *
 * Periodic: y must end where it began. Not-a-knot: the third derivative is continuous at the second and last but one knot.
 * Both systems are tridiagonal, the periodic one but for its corners; they dominate their diagonal, so elimination needs no
 * pivots. RangeError: fewer than 4 knots, knots that do not rise, a value that is no number, a period that does not close.
 * de Boor, A Practical Guide to Splines (Springer, 1978), ch. IV.
 */
export function cubicSpline(x: ArrayLike<number>, y: ArrayLike<number>, ends: SplineEnds): CubicSpline {
  const n = x.length;
  if (n < 4 || y.length !== n) throw new RangeError(`a cubic spline needs at least 4 knots, got ${n}`);
  const h = new Float64Array(n - 1);
  const d = new Float64Array(n - 1);
  for (let i = 0; i < n - 1; i++) {
    h[i] = x[i + 1] - x[i];
    if (!(h[i] > 0)) throw new RangeError('knots must rise');
    d[i] = (y[i + 1] - y[i]) / h[i];
    if (!Number.isFinite(d[i])) throw new RangeError('a spline needs a number at every knot');
  }
  if (ends === 'periodic' && y[0] !== y[n - 1]) {
    throw new RangeError(`a periodic curve ends where it began, not at ${y[n - 1]} from ${y[0]}`);
  }
  const m = ends === 'periodic' ? periodicMoments(h, d) : notAKnotMoments(h, d);
  return { x: new Float64Array(x), y: new Float64Array(y), m };
}

/** Thomas' elimination of a tridiagonal system; the inputs are not changed. */
function tridiagonal(
  lower: Float64Array,
  middle: Float64Array,
  upper: Float64Array,
  right: Float64Array,
): Float64Array {
  const n = middle.length;
  const c = new Float64Array(n);
  const x = new Float64Array(n);
  c[0] = upper[0] / middle[0];
  x[0] = right[0] / middle[0];
  for (let i = 1; i < n; i++) {
    const pivot = middle[i] - lower[i] * c[i - 1];
    c[i] = upper[i] / pivot;
    x[i] = (right[i] - lower[i] * x[i - 1]) / pivot;
  }
  for (let i = n - 2; i >= 0; i--) x[i] -= c[i] * x[i + 1];
  return x;
}

function notAKnotMoments(h: Float64Array, d: Float64Array): Float64Array {
  const n = h.length + 1;
  const inner = n - 2;
  const lower = new Float64Array(inner);
  const middle = new Float64Array(inner);
  const upper = new Float64Array(inner);
  const right = new Float64Array(inner);
  for (let i = 1; i <= inner; i++) {
    lower[i - 1] = h[i - 1];
    middle[i - 1] = 2 * (h[i - 1] + h[i]);
    upper[i - 1] = h[i];
    right[i - 1] = 6 * (d[i] - d[i - 1]);
  }
  // m_0 = m_1 − (h_0/h_1)·(m_2 − m_1), and the mirror at the far end, put into the first and last row
  const a = h[0] / h[1];
  middle[0] += h[0] * (1 + a);
  upper[0] -= h[0] * a;
  const b = h[n - 2] / h[n - 3];
  middle[inner - 1] += h[n - 2] * (1 + b);
  lower[inner - 1] -= h[n - 2] * b;
  const s = tridiagonal(lower, middle, upper, right);
  const m = new Float64Array(n);
  m.set(s, 1);
  m[0] = m[1] - a * (m[2] - m[1]);
  m[n - 1] = m[n - 2] + b * (m[n - 2] - m[n - 3]);
  return m;
}

/** Cyclic tridiagonal system by the Sherman–Morrison formula. */
function periodicMoments(h: Float64Array, d: Float64Array): Float64Array {
  const n = h.length;
  const lower = new Float64Array(n);
  const middle = new Float64Array(n);
  const upper = new Float64Array(n);
  const right = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const before = (i + n - 1) % n;
    lower[i] = h[before];
    middle[i] = 2 * (h[before] + h[i]);
    upper[i] = h[i];
    right[i] = 6 * (d[i] - d[before]);
  }
  const corner = h[n - 1];
  const gamma = -middle[0];
  middle[0] -= gamma;
  middle[n - 1] -= (corner * corner) / gamma;
  const u = new Float64Array(n);
  u[0] = gamma;
  u[n - 1] = corner;
  const y = tridiagonal(lower, middle, upper, right);
  const z = tridiagonal(lower, middle, upper, u);
  const factor = (y[0] + (corner * y[n - 1]) / gamma) / (1 + z[0] + (corner * z[n - 1]) / gamma);
  const m = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) m[i] = y[i] - factor * z[i];
  m[n] = m[0];
  return m;
}

/** Value, first and second derivative at t, which must lie on the knots' interval. */
export function splineAt(s: CubicSpline, t: number): { value: number; slope: number; curvature: number } {
  const { x, y, m } = s;
  let lo = 0;
  let hi = x.length - 1;
  if (!(t >= x[0] && t <= x[hi])) throw new RangeError(`${t} lies outside ${x[0]} … ${x[hi]}`);
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (x[mid] > t) hi = mid;
    else lo = mid;
  }
  const h = x[hi] - x[lo];
  const a = (x[hi] - t) / h;
  const b = (t - x[lo]) / h;
  return {
    value: a * y[lo] + b * y[hi] + ((a ** 3 - a) * m[lo] + (b ** 3 - b) * m[hi]) * ((h * h) / 6),
    slope: (y[hi] - y[lo]) / h + ((3 * b * b - 1) * m[hi] - (3 * a * a - 1) * m[lo]) * (h / 6),
    curvature: a * m[lo] + b * m[hi],
  };
}
