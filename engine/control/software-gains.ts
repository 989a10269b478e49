import type { Gains, SampledJoint } from './sampled-joint.ts';

/**
 * Gains of the software for slow motion of the joint to be as asked, where the angle is measured before elastic gears:
 *
 *     K_s = K·K_g/(K_g − K),   B_s = B·(K_g/(K_g − K))²       from S = K_g·C/(K_g + C), C = K_s + jωB_s
 *
 * undefined where K ≥ K_g: two springs in series are softer than either. Measured at the joint: as asked.
 */
export function softwareGains(
  joint: Pick<SampledJoint, 'gearStiffness' | 'measuredAt'>,
  asked: Gains,
): Gains | undefined {
  const kg = joint.gearStiffness;
  if (joint.measuredAt === 'joint' || kg === Number.POSITIVE_INFINITY) return asked;
  if (!(asked.stiffness < kg)) return undefined;
  const wider = kg / (kg - asked.stiffness);
  return { stiffness: asked.stiffness * wider, damping: asked.damping * wider * wider };
}

/** What a spring of the software is at the joint, N·m/rad:  K·K_g/(K + K_g) measured before the gears, else K. */
export const jointStiffness = (joint: SampledJoint, software: number): number =>
  joint.measuredAt === 'joint' || software === 0 ? software : 1 / (1 / software + 1 / joint.gearStiffness);
