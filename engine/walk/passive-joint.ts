import { DRIVE, DRIVE_PLACES } from './walk-drive.ts';

/** A joint that no motor moves: springs, dampers by the direction in which it turns, dry friction. SI; flexion and dorsiflexion positive. */
export interface PassiveJoint {
  /** k above and below the neutral angle, N·m/rad; θ_0, rad. */
  readonly stiffness: number;
  readonly stiffnessBelow: number;
  readonly neutral: number;
  /** b while it flexes and while it extends, N·m·s/rad. */
  readonly flexionDamping: number;
  readonly extensionDamping: number;
  /** τ_c either way, N·m. */
  readonly friction: number;
  /** τ_a towards extension, the same at every angle, N·m. */
  readonly extensionAssist: number;
}

/** Rate at which dry friction is three quarters of its own, rad/s. Our choice: a joint that hardly turns creeps; in a stride none rests without a stop. */
const CREEP = 0.1;

/** State of a passive joint: of a drive's places only what a joint without one has, NaN in all others. */
export function passiveState(): Float64Array {
  const state = new Float64Array(DRIVE_PLACES).fill(Number.NaN);
  state[DRIVE.output] = 0;
  state[DRIVE.motorPower] = 0;
  state[DRIVE.stored] = 0;
  return state;
}

/**
 * Torque of a passive joint and what its parts give and take, where a drive's would stand:
 *
 *     τ = −k(θ)·(θ − θ_0) − τ_a − b(θ̇)·θ̇ − τ_c·tanh(θ̇/0.1 rad/s)
 *
 * k above or below θ_0, b while flexing or extending. Springs and assist give back what they take; damper and friction only take. Our own
 * model of a hydraulic-like knee and an energy-storing foot: linear, without memory of how it was loaded. Nothing is allocated.
 */
export function passiveStep(joint: PassiveJoint, state: Float64Array, angle: number, velocity: number): void {
  const beyond = angle - joint.neutral;
  const spring = -(beyond > 0 ? joint.stiffness : joint.stiffnessBelow) * beyond - joint.extensionAssist;
  const loss =
    -(velocity > 0 ? joint.flexionDamping : joint.extensionDamping) * velocity -
    joint.friction * Math.tanh(velocity / CREEP);
  state[DRIVE.output] = spring + loss;
  state[DRIVE.frictionPower] = loss * velocity;
  state[DRIVE.springPower] = spring * velocity;
}
