import type { Segment } from '../gait/stride.ts';

/** What walks: a body on the hip, and thigh, shank and foot below it. SI. */
export interface WalkingLeg {
  /** Free fall, m/s². */
  readonly gravity: number;
  /** Mass that rides on the hip, kg: the wearer without this thigh. */
  readonly body: number;
  /** Residual limb, socket and knee housing together. */
  readonly thigh: Segment;
  readonly shank: Segment;
  /** `length` is not used. */
  readonly foot: Segment;
  /** Inertia on the knee's and the ankle's own angle, kg·m²: gears behind the mesh, or a rotor that rigid gears tie to the joint. */
  readonly kneeOutputInertia: number;
  readonly ankleOutputInertia: number;
}

/** A walking leg as the sums its equations need, each worked out once. */
export interface LegChain {
  readonly gravity: number;
  /** m_tot: body and leg, kg. */
  readonly mass: number;
  /** L_1, L_2: m. */
  readonly thighLength: number;
  readonly shankLength: number;
  /** First moments in each segment's own frame, kg·m: across (x) and along (z). */
  readonly thighX: number;
  readonly thighZ: number;
  readonly shankX: number;
  readonly shankZ: number;
  readonly footX: number;
  readonly footZ: number;
  /** M_11, M_22, M_33 in segment angles, kg·m². */
  readonly thighInertia: number;
  readonly shankInertia: number;
  readonly footInertia: number;
  readonly kneeOutputInertia: number;
  readonly ankleOutputInertia: number;
}

/**
 * Each segment carries what hangs at its far end as a point there:
 *
 *     thigh  m_t·c_t + (m_s + m_f)·(0, −L_1),   I_t + m_t·|c_t|² + (m_s + m_f)·L_1²
 *     shank  m_s·c_s + m_f·(0, −L_2),           I_s + m_s·|c_s|² + m_f·L_2²
 *     foot   m_f·c_f,                           I_f + m_f·|c_f|²
 */
export function legChain({
  gravity,
  body,
  thigh,
  shank,
  foot,
  kneeOutputInertia,
  ankleOutputInertia,
}: WalkingLeg): LegChain {
  const hung = shank.mass + foot.mass;
  const about = ({ inertia, mass, centre }: Segment): number =>
    inertia + mass * (centre.x * centre.x + centre.z * centre.z);
  return {
    gravity,
    mass: body + thigh.mass + hung,
    thighLength: thigh.length,
    shankLength: shank.length,
    thighX: thigh.mass * thigh.centre.x,
    thighZ: thigh.mass * thigh.centre.z - hung * thigh.length,
    shankX: shank.mass * shank.centre.x,
    shankZ: shank.mass * shank.centre.z - foot.mass * shank.length,
    footX: foot.mass * foot.centre.x,
    footZ: foot.mass * foot.centre.z,
    thighInertia: about(thigh) + hung * thigh.length * thigh.length,
    shankInertia: about(shank) + foot.mass * shank.length * shank.length,
    footInertia: about(foot),
    kneeOutputInertia,
    ankleOutputInertia,
  };
}
