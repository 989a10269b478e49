import type { LegSegments } from '../gait/stride.ts';

/** Lowest sole point of a leg whose hip is known. */
export interface SoleClearance {
  /** Height over the ground, m; negative where the sole would be in it. */
  readonly height: number;
  /** Which sole point, in the leg file's order from heel to toe. */
  readonly point: number;
  /** Change of its height with thigh, knee and ankle angle, m/rad. */
  readonly perThigh: number;
  readonly perKnee: number;
  readonly perAnkle: number;
}

/**
 * Clearance of the sole over level ground.
 *
 *     z_i = z_hip − L_1·cos φ_1 − L_2·cos φ_2 + x_i·sin φ_3 + z_i·cos φ_3
 *     φ_1 = θ_thigh,  φ_2 = φ_1 − θ_knee,  φ_3 = φ_2 + θ_ankle
 *     ∂z/∂θ_ankle = x_i·cos φ_3 − z_i·sin φ_3,   ∂z/∂θ_knee = −(L_2·sin φ_2 + that),   ∂z/∂θ_thigh = L_1·sin φ_1 − ∂z/∂θ_knee
 *
 * x_i, z_i: sole points in the foot frame, m; L: lengths of thigh and shank, m; angles rad, engine signs. The lowest point wanders
 * from toe to heel during the swing, so all are looked at.
 */
export function soleClearance(
  segments: LegSegments,
  hipHeight: number,
  thigh: number,
  knee: number,
  ankle: number,
): SoleClearance {
  const shank = thigh - knee;
  const foot = shank + ankle;
  const [cos, sin] = [Math.cos(foot), Math.sin(foot)];
  const ankleHeight =
    hipHeight - segments.thighLength * Math.cos(thigh) - segments.shank.length * Math.cos(shank);
  let height = Number.POSITIVE_INFINITY;
  let point = -1;
  for (let i = 0; i < segments.sole.length; i++) {
    const z = ankleHeight + segments.sole[i].x * sin + segments.sole[i].z * cos;
    if (z < height) {
      height = z;
      point = i;
    }
  }
  if (point < 0) {
    const none = Number.NaN;
    return { height: none, point, perThigh: none, perKnee: none, perAnkle: none };
  }
  const perAnkle = segments.sole[point].x * cos - segments.sole[point].z * sin;
  const perKnee = -(segments.shank.length * Math.sin(shank) + perAnkle);
  return { height, point, perThigh: segments.thighLength * Math.sin(thigh) - perKnee, perKnee, perAnkle };
}
