import type { Motor } from './leg-drive.ts';

/** e = p·ω·λ: peak phase voltage that the shaft's speed ω, rad/s, induces, V. */
export const backEmf = (motor: Motor, speed: number): number =>
  motor.polePairs * Math.abs(speed) * motor.fluxLinkage;

/**
 * Highest frequency, Hz, of a current of amplitude `current` (A peak phase) that phase voltage `voltage` can drive, rotor locked or
 * held at the speed that induces `emf`, taken in phase with the current's need, which is the worst:
 *
 *     f = (1/(2πL))·√(((V − e)/î)² − R²)
 *
 * NaN where not even a steady current passes, V − e < R·î. L does not saturate; stiff bus.
 */
export function saturationFrequency(motor: Motor, voltage: number, current: number, emf: number): number {
  const { resistance: R, inductanceQ: L } = motor;
  const impedance = (voltage - emf) / current;
  return impedance < R ? Number.NaN : Math.sqrt(impedance * impedance - R * R) / (2 * Math.PI * L);
}

/**
 * Steepest rise of motor torque, N·m/s, at current `current` and back-EMF `emf`:  dτ/dt = K_t·(V − R·i − e)/L, K_t = 1.5·p·λ.
 * Negative where the voltage does not hold the current. Iron that saturates gives less torque for each ampere, and rises less.
 */
export const torqueSlew = (motor: Motor, voltage: number, current: number, emf: number): number =>
  (1.5 * motor.polePairs * motor.fluxLinkage * (voltage - motor.resistance * current - emf)) /
  motor.inductanceQ;
