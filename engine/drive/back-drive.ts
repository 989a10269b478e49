import type { Motor, Transmission } from './leg-drive.ts';

/** Torque at the joint that just starts to move it, unpowered, phases open, N·m:  τ_bd = N·τ_s/η_b + τ_s,out. */
export const breakawayTorque = (motor: Motor, t: Transmission): number =>
  (t.ratio * motor.breakawayDrag) / t.backDrivenEfficiency + t.outputBreakaway;

/**
 * Torque at the joint that moves it unpowered at `velocity` q̇ ≥ 0 with `acceleration` q̈, phases open, N·m.
 *
 *     τ_in = (J_m + J_in)·N·q̈ + τ_c + b·N·q̇                     what the shaft needs
 *     τ_bd = N·τ_in/η_b + J_out·q̈ + τ_c,out + b_out·q̇           while it needs to be driven, τ_in ≥ 0
 *     τ_bd = N·τ_in·η_f + J_out·q̈ + τ_c,out + b_out·q̇           while the rotor drives the mesh, τ_in < 0
 *
 * Rotor inertia and motor drag sit behind the mesh, so its loss is charged on them as well. Negative velocity mirrors:
 * pass −velocity and −acceleration and turn the result. A shorted or gate-enabled bridge adds braking that is not in here.
 */
export function dynamicBackDriveTorque(
  motor: Motor,
  t: Transmission,
  velocity: number,
  acceleration: number,
): number {
  const N = t.ratio;
  const shaft =
    (motor.rotorInertia + t.inputInertia) * N * acceleration +
    motor.coulombDrag +
    motor.viscousDrag * N * velocity;
  const mesh = shaft >= 0 ? shaft / t.backDrivenEfficiency : shaft * t.drivingEfficiency;
  return N * mesh + t.outputInertia * acceleration + t.outputCoulomb + t.outputViscous * velocity;
}
