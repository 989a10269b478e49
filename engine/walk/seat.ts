/** A seat under the hip: where the hip meets it, m, N/m and s/m of its damping. */
export interface Seat {
  readonly height: number;
  readonly stiffness: number;
  readonly damping: number;
}

/** N up on the hip:  F = k·δ·(1 − c·ż) ≥ 0,  δ = max(0, z_seat − z). A spring and a damper that grows with it: COMMON PRACTICE; it never pulls. */
export function seatForce({ height, stiffness, damping }: Seat, z: number, rate: number): number {
  const depth = height - z;
  return depth > 0 ? Math.max(0, stiffness * depth * (1 - damping * rate)) : 0;
}
