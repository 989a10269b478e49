import { matrixExponential, matrixProduct } from '../numeric/matrix-exponential.ts';
import { ownDamping, ownInertia, type SampledJoint } from './sampled-joint.ts';

/** What the joint carries: a limb of so much inertia about it, kg·m², 0 for none; or its output held still. */
export type Load = { readonly inertia: number } | 'held';

/**
 * Characteristic polynomial of the sampled loop, p(z) = open + K·spring + B·damper, coefficients from the constant upwards. undefined
 * where nothing that is measured can move.
 */
export interface LoopPolynomial {
  readonly open: Float64Array;
  readonly spring: Float64Array;
  readonly damper: Float64Array;
}

/**
 * The loop between samples is exact, not approximated:
 *
 *     x' = A·x + b·u held over a period, x = (rotor angle and speed, [limb's,] motor torque)
 *     P(z) = c·(zI − e^(AT))⁻¹·(Γ₀ + Γ₁/z)·z^(−d),   Γ₁ of the part of a period by which the delay is not whole
 *     p(z) = a(z)·z^d·(z − a_f) + n(z)·[K·(z − a_f) + B·(1 − a_f)·(z − 1)/T],   P = n/(a·z^d)
 *
 * a(z) by Faddeev and Leverrier, n(z) from the first samples of the impulse's answer. Gears are lossless and without play, dry friction
 * and saturation are left out: they may hide a loop that is unstable, and do not make it stable.
 */
export function loopPolynomial(joint: SampledJoint, load: Load): LoopPolynomial | undefined {
  const plant = plantOf(joint, load);
  if (plant === undefined) return undefined;
  const { period: T, filterPole: pole, constantError } = joint;
  const { n, a, b, measured } = plant;
  const whole = Math.floor(joint.delay / T + 1e-9);
  const part = Math.max(0, joint.delay / T - whole);
  const early = part < 1e-9 ? 0 : part;
  const phi = matrixExponential(
    a.map((x) => x * T),
    n,
  );
  const late = held(a, b, n, (1 - early) * T);
  const denominator = characteristic(phi, n);
  // n(z), constant first, over a(z)·z^d
  const first = numerator(phi, late, measured, denominator, n);
  let top = [...first, 0];
  let delays = whole;
  if (early > 0) {
    // what was asked one sample before still acts for part of the period, then moves on freely
    const before = times(
      matrixExponential(
        a.map((x) => x * (1 - early) * T),
        n,
      ),
      held(a, b, n, early * T),
      n,
    );
    const second = numerator(phi, before, measured, denominator, n);
    top = [0, ...first].map((x, i) => x + (second[i] ?? 0));
    delays++;
  }
  const size = n + delays + 2;
  const shifted = new Float64Array(size);
  for (let i = 0; i <= n; i++) {
    shifted[i + delays + 1] += denominator[i];
    shifted[i + delays] -= pole * denominator[i];
  }
  const spring = new Float64Array(size);
  const damper = new Float64Array(size);
  top.forEach((value, i) => {
    const x = (1 + constantError) * value;
    if (x === 0) return;
    spring[i + 1] += x;
    spring[i] -= pole * x;
    damper[i + 1] += ((1 - pole) / T) * x;
    damper[i] -= ((1 - pole) / T) * x;
  });
  return { open: shifted, spring, damper };
}

interface Plant {
  readonly n: number;
  readonly a: Float64Array;
  readonly b: Float64Array;
  /** Row of the state that is measured. */
  readonly measured: number;
}

/** State space of rotor, gears, limb and current loop. */
function plantOf(joint: SampledJoint, load: Load): Plant | undefined {
  const rigid = joint.gearStiffness === Number.POSITIVE_INFINITY;
  const isHeld = load === 'held';
  if (isHeld && (rigid || joint.measuredAt === 'joint')) return undefined;
  const limb = isHeld ? 0 : load.inertia;
  // an output without inertia follows the rotor
  const two = !rigid && !isHeld && joint.outputInertia + limb > 0;
  const lag = joint.currentLag > 0 ? 1 : 0;
  const n = (two ? 4 : 2) + lag;
  const a = new Float64Array(n * n);
  const b = new Float64Array(n);
  const set = (row: number, column: number, x: number): void => {
    a[row * n + column] += x;
  };
  const alone = rigid || !(two || isHeld);
  const inertia = alone ? ownInertia(joint) + limb : joint.rotorInertia;
  set(0, 1, 1);
  set(1, 1, -(alone ? ownDamping(joint) : joint.rotorDamping) / inertia);
  if (isHeld) set(1, 0, -joint.gearStiffness / inertia);
  if (two) {
    const far = joint.outputInertia + limb;
    const k = joint.gearStiffness;
    set(1, 0, -k / inertia);
    set(1, 2, k / inertia);
    set(2, 3, 1);
    set(3, 0, k / far);
    set(3, 2, -k / far);
    set(3, 3, -joint.outputDamping / far);
  }
  if (lag === 1) {
    set(1, n - 1, 1 / inertia);
    set(n - 1, n - 1, -1 / joint.currentLag);
    b[n - 1] = 1 / joint.currentLag;
  } else b[1] = 1 / inertia;
  return { n, a, b, measured: two && joint.measuredAt === 'joint' ? 2 : 0 };
}

/** ∫₀^t e^(As)·b ds, from the exponential of the matrix with b beside it. */
function held(a: Float64Array, b: Float64Array, n: number, t: number): Float64Array {
  const m = n + 1;
  const wide = new Float64Array(m * m);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) wide[i * m + j] = a[i * n + j] * t;
    wide[i * m + n] = b[i] * t;
  }
  const e = matrixExponential(wide, m);
  return Float64Array.from({ length: n }, (_, i) => e[i * m + n]);
}

const times = (m: Float64Array, x: Float64Array, n: number): Float64Array =>
  Float64Array.from({ length: n }, (_, i) => {
    let sum = 0;
    for (let j = 0; j < n; j++) sum += m[i * n + j] * x[j];
    return sum;
  });

/** det(zI − M), constant first. */
function characteristic(m: Float64Array, n: number): Float64Array {
  const p = new Float64Array(n + 1);
  p[n] = 1;
  let power: Float64Array = new Float64Array(n * n);
  for (let k = 1; k <= n; k++) {
    for (let i = 0; i < n; i++) power[i * n + i] += p[n - k + 1];
    power = matrixProduct(m, power, n);
    let trace = 0;
    for (let i = 0; i < n; i++) trace += power[i * n + i];
    p[n - k] = -trace / k;
  }
  return p;
}

/** c·adj(zI − M)·g, constant first, n coefficients: the first samples h_i = c·M^i·g times a(z), its powers z^(n−1) and below. */
function numerator(
  m: Float64Array,
  g: Float64Array,
  measured: number,
  a: Float64Array,
  n: number,
): Float64Array {
  const top = new Float64Array(n);
  let x = g;
  for (let i = 0; i < n; i++) {
    for (let j = i; j < n; j++) top[n - 1 - j] += a[n - (j - i)] * x[measured];
    x = times(m, x, n);
  }
  return top;
}
