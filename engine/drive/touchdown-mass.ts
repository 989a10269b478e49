import { legPose } from '../gait/pose.ts';
import type { LegSegments } from '../gait/stride.ts';

/** Where the leg first touches, and how heavy it is there. */
export interface Touchdown {
  /** kg across level ground. */
  readonly mass: number;
  /** The sole point, counted as in the leg file. */
  readonly point: number;
  /** Its place in the foot frame, m forward of the ankle: negative is the heel. */
  readonly ahead: number;
}

/**
 * Effective mass, straight up, of the lowest sole point in a pose (rad, engine signs), knee and ankle free to give way.
 *
 *     1/m = jᵀ·M⁻¹·j,   j = (x_ankle − x_knee, x_sole − x_ankle)      rise per rad of shank and of foot
 *     M = ⎡ I_s + m_s·c_s² + m_f·l² + J_k + J_a    m_f·l·c_f·cos∠ − J_a ⎤      reflected rotors J_k, J_a kg·m²
 *         ⎣ m_f·l·c_f·cos∠ − J_a                   I_f + m_f·c_f² + J_a ⎦
 *
 * The thigh goes on as before whatever the ground does, as if hip and trunk were infinitely heavy: an upper bound, and how the leg is
 * compared with itself at another ratio. Gears rigid. Rotor on the diagonal of its joint; the general form is Khatib's, Int. J.
 * Robotics Research 14 (1995) 19–36 (FROM MEMORY). ∞ where neither joint lets the point rise.
 */
export function touchdownMass(
  segments: LegSegments,
  pose: { readonly thigh: number; readonly knee: number; readonly ankle: number },
  rotors: { readonly knee: number; readonly ankle: number },
): Touchdown {
  const { shank, foot } = segments;
  const at = legPose(segments, pose.thigh, pose.knee, pose.ankle);
  const point = at.sole.findIndex(({ z }) => z === at.lowest);
  const shankAngle = pose.thigh - pose.knee;
  const footAngle = shankAngle + pose.ankle;
  const lx = at.ankle.x - at.knee.x;
  const lz = at.ankle.z - at.knee.z;
  const cx = foot.centre.x * Math.cos(footAngle) - foot.centre.z * Math.sin(footAngle);
  const cz = foot.centre.x * Math.sin(footAngle) + foot.centre.z * Math.cos(footAngle);
  const shankOwn = shank.inertia + shank.mass * (shank.centre.x ** 2 + shank.centre.z ** 2);
  const footOwn = foot.inertia + foot.mass * (foot.centre.x ** 2 + foot.centre.z ** 2);
  const m11 = shankOwn + foot.mass * shank.length ** 2 + rotors.knee + rotors.ankle;
  const m12 = foot.mass * (lx * cx + lz * cz) - rotors.ankle;
  const m22 = footOwn + rotors.ankle;
  const sx = at.sole[point].x - at.ankle.x;
  const give = (m22 * lx * lx - 2 * m12 * lx * sx + m11 * sx * sx) / (m11 * m22 - m12 * m12);
  return { mass: 1 / give, point, ahead: segments.sole[point].x };
}
