/** End stops of a joint, rad and N·m/rad, N·m·s/rad. */
export interface Stops {
  readonly from: number;
  readonly to: number;
  readonly stiffness: number;
  readonly damping: number;
}

/**
 * Torque of the end stops on the joint, N·m:  −max(0, K_s·d + D_s·ḋ) while d > 0, d = θ − to beyond the upper one; alike at the lower.
 * It pushes back and never pulls. The law of `endStopTorque`.
 */
export function stopTorque({ from, to, stiffness, damping }: Stops, angle: number, velocity: number): number {
  if (angle > to) {
    const push = stiffness * (angle - to) + damping * velocity;
    return -Math.max(push, 0);
  }
  if (angle < from) {
    const push = stiffness * (from - angle) - damping * velocity;
    return Math.max(push, 0);
  }
  return 0;
}
