import type { Motor } from './leg-drive.ts';
import { fluxFactor, resistanceFactor } from './motor-torque.ts';

/** Temperatures of copper and magnets, K. */
export interface MotorTemperatures {
  readonly winding: number;
  readonly magnets: number;
}

/**
 * The motor as it is with winding and magnets at their temperatures: R·[1 + α·ΔT_w], λ·[1 + α_B·ΔT_m], and both coefficients 0 since it
 * warms no further. Left out: as the file gives it, at its reference temperature. Saturation current and inductances stay.
 */
export const warmMotor = (motor: Motor, at?: MotorTemperatures): Motor =>
  at === undefined
    ? motor
    : {
        ...motor,
        resistance: motor.resistance * resistanceFactor(motor, at.winding),
        fluxLinkage: motor.fluxLinkage * fluxFactor(motor, at.magnets),
        copperCoefficient: 0,
        magnetCoefficient: 0,
      };
