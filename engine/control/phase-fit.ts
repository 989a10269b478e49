import { conditioning } from '../numeric/conditioning.ts';
import { quadraticProgram } from '../numeric/quadratic-program.ts';
import type { ActiveBound, Impedance, ImpedanceBounds, JointSamples } from './impedance.ts';
import { activeBounds, addNormal, boundRows, zeros } from './impedance-rows.ts';
import { residualOf } from './subphase-fit.ts';

/** Samples with their place in stance, 0 at initial contact, 1 at toe-off. */
export interface PhasedSamples extends JointSamples {
  readonly phase: Float64Array;
}

/** K(s), c(s), B(s) by their Bernstein coefficients, `degree` + 1 each. */
export interface PhaseSchedule {
  readonly stiffness: Float64Array;
  readonly offset: Float64Array;
  readonly damping: Float64Array;
}

export interface PhaseChoice {
  /** Of the polynomials, 1 to 6. */
  readonly degree: number;
  readonly bounds?: ImpedanceBounds;
  /** λ of λ·½·Σ(second difference of the coefficients)², for K, c and B alike; left out: none. */
  readonly smoothness?: number;
}

export interface PhaseFit {
  readonly schedule: PhaseSchedule;
  readonly rms: number;
  readonly explained: number;
  /** cond(A), rows [−θ·β_j, β_j, −θ̇·β_j]. */
  readonly condition: number;
  /** Standard deviation of each coefficient for 1 N·m of white noise in every sample, without bounds. */
  readonly perNoise: PhaseSchedule;
  /** Coefficients that a bound holds, by their number from 0. */
  readonly active: readonly (ActiveBound & { readonly coefficient: number })[];
}

/** β_j(s) = C(n, j)·s^j·(1 − s)^(n−j), j = 0 … n, written to `into`. Farin, Curves and Surfaces for CAGD (FROM MEMORY). */
export function bernstein(degree: number, s: number, into: Float64Array): Float64Array {
  let binomial = 1;
  for (let j = 0; j <= degree; j++) {
    into[j] = binomial * s ** j * (1 - s) ** (degree - j);
    binomial = (binomial * (degree - j)) / (j + 1);
  }
  return into;
}

/** K, c and B at phase s of stance. */
export function impedanceAtPhase({ stiffness, offset, damping }: PhaseSchedule, s: number): Impedance {
  const degree = stiffness.length - 1;
  const basis = bernstein(degree, s, new Float64Array(degree + 1));
  let [K, c, B] = [0, 0, 0];
  for (let j = 0; j <= degree; j++) {
    K += stiffness[j] * basis[j];
    c += offset[j] * basis[j];
    B += damping[j] * basis[j];
  }
  return { stiffness: K, offset: c, damping: B };
}

/**
 * K(s), c(s), B(s) over stance that follow the samples best, polynomials in the Bernstein basis:
 *
 *     min ½‖A·x − τ‖² + λ·½·Σ(Δ²x)²,  rows of A [−θ·β_j(s), β_j(s), −θ̇·β_j(s)]
 *
 * Bounds hold for every coefficient, which keeps them over the whole of stance (a polynomial lies within its Bernstein coefficients), a
 * little more than is needed. c(s) = K(s)·θ_eq(s) is fitted, not θ_eq(s): the problem stays convex.
 *
 * At one phase one stride gives one equation for three unknowns: strides of one speed alone do not tell them, and the condition shows it.
 */
export function fitOverPhase(
  samples: PhasedSamples,
  { degree, bounds, smoothness = 0 }: PhaseChoice,
): PhaseFit {
  const m = degree + 1;
  const { phase, angle, velocity, torque } = samples;
  const basis = new Float64Array(m);
  const rows = Array.from(phase, (s, i) => {
    const row = new Float64Array(3 * m);
    bernstein(degree, s, basis);
    for (let j = 0; j < m; j++) {
      row[j] = -angle[i] * basis[j];
      row[m + j] = basis[j];
      row[2 * m + j] = -velocity[i] * basis[j];
    }
    return row;
  });
  const [H, f] = [zeros(3 * m), new Float64Array(3 * m)];
  addNormal(H, f, rows, torque);
  if (smoothness > 0) addSmoothness(H, m, smoothness);
  const bound = Array.from({ length: bounds === undefined ? 0 : m }, (_, j) =>
    boundRows(bounds!, [j, m + j, 2 * m + j], 3 * m),
  );
  const { x, atLeast } = quadraticProgram(H, f, [], bound.flat());
  const { condition, perNoise } = conditioning(rows);
  return {
    schedule: split(x, m),
    ...residualOf(torque, (i) => rows[i].reduce((sum, a, k) => sum + a * x[k], 0)),
    condition,
    perNoise: split(perNoise, m),
    active: bound.flatMap((own, j) =>
      activeBounds(own, atLeast.subarray(j * own.length, (j + 1) * own.length)).map((active) => ({
        ...active,
        coefficient: j,
      })),
    ),
  };
}

const split = (x: Float64Array, m: number): PhaseSchedule => ({
  stiffness: x.slice(0, m),
  offset: x.slice(m, 2 * m),
  damping: x.slice(2 * m),
});

/** λ·(Δ²x)ᵀ(Δ²x) of the three polynomials. */
function addSmoothness(H: readonly Float64Array[], m: number, weight: number): void {
  const difference = [1, -2, 1];
  for (let first = 0; first < 3 * m; first += m)
    for (let j = first; j + 2 < first + m; j++)
      difference.forEach((a, p) => {
        difference.forEach((b, q) => {
          H[j + p][j + q] += weight * a * b;
        });
      });
}
