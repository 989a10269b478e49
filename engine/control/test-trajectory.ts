import { type Trajectory, trajectoryAt } from './trajectory.ts';

/** Value, slope and curvature as an object, for tests. */
export function pointOf(
  trajectory: Trajectory,
  s: number,
): { value: number; slope: number; curvature: number } {
  const out = new Float64Array(3);
  trajectoryAt(trajectory, s, out, 0);
  return { value: out[0]!, slope: out[1]!, curvature: out[2]! };
}

/** A knee over the stride in twelve steps, degrees, the end included: invented round numbers. */
export const KNEE_12 = [8, 14, 18, 15, 9, 7, 14, 34, 56, 60, 38, 14, 8] as const;
