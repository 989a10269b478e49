import type { Motor } from './leg-drive.ts';

/** Factor on resistance from the reference temperature to `temperature` (K or °C alike): 1 + α·ΔT. */
export const resistanceFactor = (motor: Motor, temperature: number): number =>
  1 + motor.copperCoefficient * (temperature - motor.referenceTemperature);

/** Factor on flux linkage with magnet temperature, reversible part only. */
export const fluxFactor = (motor: Motor, temperature: number): number =>
  1 + motor.magnetCoefficient * (temperature - motor.referenceTemperature);

/** Factor on the motor constant K_m = τ/√P_Cu with winding and magnet at their own temperatures. */
export const motorConstantFactor = (motor: Motor, winding: number, magnet: number): number =>
  fluxFactor(motor, magnet) / Math.sqrt(resistanceFactor(motor, winding));

/**
 * Torque of a current, N·m:  τ = K_t·i/√(1 + (i/I_s)²), K_t = 1.5·p·λ; linear without a saturation current.
 * Smooth form COMMON PRACTICE: fit I_s to measured points, do not read beyond the tested current.
 */
export function torqueOf(motor: Motor, current: number): number {
  const kt = 1.5 * motor.polePairs * motor.fluxLinkage;
  if (motor.saturationCurrent === undefined) return kt * current;
  return (kt * current) / Math.sqrt(1 + (current / motor.saturationCurrent) ** 2);
}

/**
 * Peak phase current of a torque, A, the inverse of `torqueOf`:  i = (τ/K_t)/√(1 − (τ/(K_t·I_s))²).
 * NaN at and beyond K_t·I_s: no current gives that torque.
 */
export function currentFor(motor: Motor, torque: number): number {
  const kt = 1.5 * motor.polePairs * motor.fluxLinkage;
  if (motor.saturationCurrent === undefined) return torque / kt;
  const share = torque / (kt * motor.saturationCurrent);
  const left = 1 - share * share;
  return left > 0 ? torque / kt / Math.sqrt(left) : Number.NaN;
}

/** Drag of the turning shaft, N·m, opposing motion: τ_c + b·|ω|. At rest it is whatever holds, up to the breakaway drag. */
export const runningDrag = (motor: Motor, speed: number): number =>
  motor.coulombDrag + motor.viscousDrag * Math.abs(speed);
