/** Places in the state of a thigh that is led by hand: rad, rad/s. */
export const HAND_THIGH = { angle: 0, rate: 1 } as const;

/** Natural frequency with which the thigh follows the hand, 1/s: 63 % of the way after 50 ms. Our choice. */
export const HAND_FREQUENCY = 2 * Math.PI * 7;

/**
 * A drawn thigh that follows a pointer as a critically damped second-order system: a screen tells where the pointer is some sixty times a
 * second, a controller reads a thigh that has a speed a thousand times a second.
 *
 *     ẍ = −ω²·x − 2ω·ẋ,  x = θ − θ_target      x ← (x + (ẋ + ω·x)·t)·e^(−ωt),  ẋ ← (ẋ − ω·(ẋ + ω·x)·t)·e^(−ωt)
 *
 * Exact over `dt` s for a target that stays, rad; never swings past it by itself.
 */
export function followHand(state: Float64Array, target: number, dt: number, omega = HAND_FREQUENCY): void {
  const x = state[HAND_THIGH.angle] - target;
  const v = state[HAND_THIGH.rate];
  const decay = Math.exp(-omega * dt);
  const push = v + omega * x;
  state[HAND_THIGH.angle] = target + (x + push * dt) * decay;
  state[HAND_THIGH.rate] = (v - omega * push * dt) * decay;
}
