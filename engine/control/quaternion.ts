/**
 * Turns the attitude q = (w, x, y, z) at `at` of `state` by the rate ω, rad/s, of the body's own axes, held for dt, s.
 *
 *     q ← q ⊗ (cos ½|ω|dt, sin(½|ω|dt)·ω/|ω|),   then q ← q/|q|
 *
 * q takes body vectors to the world. Exact while the axis of ω stands still within dt. Nothing is allocated. Diebel, Representing
 * Attitude (Stanford, 2006), FROM MEMORY; SciPy's rotations agree in the test.
 */
export function turnBy(state: Float64Array, at: number, x: number, y: number, z: number, dt: number): void {
  const half = 0.5 * dt;
  const angle = Math.sqrt(x * x + y * y + z * z) * half;
  // sin(a)/a to its third term where the quotient would be 0/0
  const s = angle > 1e-4 ? (Math.sin(angle) / angle) * half : (1 - (angle * angle) / 6) * half;
  const c = Math.cos(angle);
  const i = x * s;
  const j = y * s;
  const k = z * s;
  const w0 = state[at];
  const x0 = state[at + 1];
  const y0 = state[at + 2];
  const z0 = state[at + 3];
  const w = w0 * c - x0 * i - y0 * j - z0 * k;
  const p = w0 * i + x0 * c + y0 * k - z0 * j;
  const q = w0 * j - x0 * k + y0 * c + z0 * i;
  const r = w0 * k + x0 * j - y0 * i + z0 * c;
  const norm = 1 / Math.sqrt(w * w + p * p + q * q + r * r);
  state[at] = w * norm;
  state[at + 1] = p * norm;
  state[at + 2] = q * norm;
  state[at + 3] = r * norm;
}

/**
 * The 3 × 3 matrix, row by row, of the unit quaternion at `at` of `state`: R(q)·v is the body vector v in the world, the rows of R are
 * the world's axes seen from the body.
 */
export function rotationMatrix(state: Float64Array, at: number, into: Float64Array): Float64Array {
  const w = state[at];
  const x = state[at + 1];
  const y = state[at + 2];
  const z = state[at + 3];
  into[0] = 1 - 2 * (y * y + z * z);
  into[1] = 2 * (x * y - w * z);
  into[2] = 2 * (x * z + w * y);
  into[3] = 2 * (x * y + w * z);
  into[4] = 1 - 2 * (x * x + z * z);
  into[5] = 2 * (y * z - w * x);
  into[6] = 2 * (x * z - w * y);
  into[7] = 2 * (y * z + w * x);
  into[8] = 1 - 2 * (x * x + y * y);
  return into;
}
