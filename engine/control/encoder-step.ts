import { type Gains, ownDamping, type SampledJoint } from './sampled-joint.ts';

/** What the steps of an encoder make of a spring and a damper. */
export interface EncoderStep {
  /** Δ at the joint, rad. */
  readonly step: number;
  /** N·m of one step: of the spring, of the damper by plain difference, and after the filter. */
  readonly springTorque: number;
  readonly plainDampingTorque: number;
  readonly dampingTorque: number;
  /** N·m/rad that the joint's own friction keeps quiet: min(2b/T, 2τ_c/Δ). */
  readonly quietStiffness: number;
}

/** Δ at the joint, rad, of an encoder of so many bits a turn; on the motor its steps are N times finer. */
export const encoderStep = (bits: number, measuredAt: 'motor' | 'joint', ratio: number): number =>
  (2 * Math.PI) / 2 ** bits / (measuredAt === 'motor' ? ratio : 1);

/**
 * Torque of one encoder step Δ:  spring K·Δ, damper B·Δ/T, after the filter B·(1 − a)·Δ/T.
 *
 * The damper's step is heard and felt: below 1–2 % of the torque the joint works with (COMMON PRACTICE). Quiet at rest:
 * K ≤ min(2b/T, 2τ_c/Δ), Abbott & Okamura, IEEE Trans. Robotics 21 (2005) 952–964 (abstract seen, formula FROM MEMORY).
 */
export function encoderStepTorque(joint: SampledJoint, gains: Gains, step: number): EncoderStep {
  const plain = (gains.damping * step) / joint.period;
  return {
    step,
    springTorque: gains.stiffness * step,
    plainDampingTorque: plain,
    dampingTorque: (1 - joint.filterPole) * plain,
    quietStiffness: Math.min(
      (2 * ownDamping(joint)) / joint.period,
      (2 * (joint.rotorCoulomb + joint.outputCoulomb)) / step,
    ),
  };
}
