import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { Rad } from '../quantity/angle.ts';

/**
 * How fast a knee folds, rad/s, when nothing at all holds it: at flexion θ the hip has fallen freely from straight, above the ankle.
 *
 *     d = √(l_1² + l_2² + 2·l_1·l_2·cos θ)                      hip to ankle
 *     θ̇ = d·√(2·g·(l_1 + l_2 − d))/(l_1·l_2·sin θ)              from ḋ² = 2·g·(l_1 + l_2 − d)
 *
 * A yardstick and no prediction of a fall: a knee that yields as fast as this is not braked. Legs of l_1 = l_2 = 0.43 m: 6.9 rad/s
 * at 60°, and hardly less at any smaller flexion. Needs 0 < θ < π.
 */
export function freeFoldSpeed(thigh: number, shank: number, flexion: Rad): number {
  const d = Math.sqrt(thigh * thigh + shank * shank + 2 * thigh * shank * Math.cos(flexion));
  return (d * Math.sqrt(2 * GRAVITY * (thigh + shank - d))) / (thigh * shank * Math.sin(flexion));
}
