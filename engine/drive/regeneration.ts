/** How far braking can feed the bus at one speed. */
export interface RegenerationLimit {
  /** Most W that reach the bus, at `torque`. */
  readonly power: number;
  /** N·m, magnitude. */
  readonly torque: number;
  /** N·m from which on braking costs energy instead of returning it. */
  readonly nothing: number;
}

/**
 * Braking with torque τ at speed ω, copper loss alone against it:
 *
 *     P = −τ·ω + τ²/K_m²     least at τ = K_m²·ω/2: −K_m²·ω²/4;   zero at τ = K_m²·ω
 *
 * K_m and ω at the shaft. Seen from the joint τ_joint = N·τ/η_b and ω = N·θ̇: nothing returns above N²·K_m²·θ̇/η_b. Drag, bridge and
 * quiescent power take more of it.
 */
export const regenerationLimit = (motorConstant: number, speed: number): RegenerationLimit => {
  const nothing = motorConstant * motorConstant * Math.abs(speed);
  return { power: (nothing * Math.abs(speed)) / 4, torque: nothing / 2, nothing };
};
