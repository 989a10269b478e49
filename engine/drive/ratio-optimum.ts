import { trapezoid } from '../numeric/trapezoid.ts';
import type { JointTrajectory } from './drive-load.ts';
import type { Transmission } from './leg-drive.ts';

/** Time averages over one cycle: ⟨τ²⟩ (N·m)², ⟨θ̈²⟩ (rad/s²)², ⟨τ·θ̈⟩. */
export interface CycleMeans {
  readonly torqueSquare: number;
  readonly accelerationSquare: number;
  readonly product: number;
}

/**
 * The averages of one joint over its stride, with g·τ in place of τ for the mesh: g = 1/η_f where the motor drives, η_b where the
 * joint does. Friction is not in them: with constant drag the optimum has no closed form.
 */
export function cycleMeans(
  joint: JointTrajectory,
  mesh: Pick<Transmission, 'drivingEfficiency' | 'backDrivenEfficiency'>,
): CycleMeans {
  const n = joint.moment.length;
  const torque = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const driven = joint.moment[i] * joint.velocity[i] < 0;
    torque[i] = driven
      ? joint.moment[i] * mesh.backDrivenEfficiency
      : joint.moment[i] / mesh.drivingEfficiency;
  }
  const mean = (f: (i: number) => number): number =>
    trapezoid(
      Float64Array.from({ length: n }, (_, i) => f(i)),
      1 / (n - 1),
    );
  return {
    torqueSquare: mean((i) => torque[i] ** 2),
    accelerationSquare: mean((i) => joint.acceleration[i] ** 2),
    product: mean((i) => torque[i] * joint.acceleration[i]),
  };
}

/** RMS motor torque at ratio N, N·m:  ⟨τ_m²⟩ = N²J²⟨θ̈²⟩ + ⟨τ²⟩/N² + 2J⟨τ·θ̈⟩, J the inertia on the motor shaft. */
export const rmsAtRatio = (m: CycleMeans, inertia: number, ratio: number): number =>
  Math.sqrt(
    ratio ** 2 * inertia ** 2 * m.accelerationSquare + m.torqueSquare / ratio ** 2 + 2 * inertia * m.product,
  );

/**
 * The ratio of least RMS motor torque, N⁴ = ⟨τ²⟩/(J²⟨θ̈²⟩). Flat and large, since rotors are light: a fact about the
 * trajectory, not the choice for a joint that must be moved by hand. Method: Bartlett, Lawson & Goldfarb (2017).
 */
export const optimumRatio = (m: CycleMeans, inertia: number): number =>
  (m.torqueSquare / (inertia ** 2 * m.accelerationSquare)) ** 0.25;

/**
 * Ratios at which the RMS motor torque stays within `continuous`:  J²⟨θ̈²⟩·N⁴ + (2J⟨τθ̈⟩ − τ²)·N² + ⟨τ²⟩ ≤ 0.
 * Null where there is none. Biquadratic after Giberti, Cinquemani & Legnani.
 */
export function admissibleRatios(
  m: CycleMeans,
  inertia: number,
  continuous: number,
): { least: number; largest: number } | null {
  const a = inertia ** 2 * m.accelerationSquare;
  const b = 2 * inertia * m.product - continuous ** 2;
  const root = b * b - 4 * a * m.torqueSquare;
  if (root < 0 || b >= 0) return null;
  return {
    least: Math.sqrt((-b - Math.sqrt(root)) / (2 * a)),
    largest: Math.sqrt((-b + Math.sqrt(root)) / (2 * a)),
  };
}
