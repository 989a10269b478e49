import { type Rad, rad } from '../quantity/angle.ts';

/**
 * A joint as a spring and a damper, in the form that is linear in its three numbers:
 *
 *     τ = K·(θ_eq − θ) − B·θ̇ = −K·θ + c − B·θ̇,   c = K·θ_eq
 */
export interface Impedance {
  /** K, N·m/rad. */
  readonly stiffness: number;
  /** c, N·m: torque at θ = 0 and at rest. */
  readonly offset: number;
  /** B, N·m·s/rad. */
  readonly damping: number;
}

/** θ_eq = c/K: where the spring rests. */
export const equilibriumOf = ({ stiffness, offset }: Impedance): Rad => rad(offset / stiffness);

/** τ, N·m, at angle rad and velocity rad/s. */
export const impedanceTorque = (
  { stiffness, offset, damping }: Impedance,
  angle: number,
  velocity: number,
): number => -stiffness * angle + offset - damping * velocity;

/** Samples of one joint that a spring and damper is to follow: rad, rad/s, N·m. */
export interface JointSamples {
  readonly angle: Float64Array;
  readonly velocity: Float64Array;
  readonly torque: Float64Array;
}

/** What an impedance may be. `equilibrium` in rad. */
export interface ImpedanceBounds {
  readonly stiffness: { readonly low: number; readonly high: number };
  readonly damping: { readonly low: number; readonly high: number };
  readonly equilibrium: { readonly low: number; readonly high: number };
}

/** One bound that the fit presses against. */
export interface ActiveBound {
  readonly bound: 'stiffness' | 'damping' | 'equilibrium';
  readonly end: 'low' | 'high';
  /** λ ≥ 0: by how much ½‖A·x − τ‖² would fall per unit of the bound, in the unit of its row. */
  readonly multiplier: number;
}
