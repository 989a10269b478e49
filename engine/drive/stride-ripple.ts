import { rippleCurrent } from './capacitor.ts';
import type { Motor } from './leg-drive.ts';

/**
 * Largest rms ripple in the capacitor of one bridge over a stride, A, by `rippleCurrent` at every sample, i_d = 0:
 *
 *     û = √((ω_e·L_q·i)² + (R·i + ω_e·λ)²),   M = û/(V/2),   cos φ = (R·i + ω_e·λ)·i/(û·|i|)
 *
 * Arrays as long as one another: A peak phase, shaft rad/s, V. Two bridges on one capacitor add between this and the sum of both, as their
 * carriers stand to one another.
 */
export function largestRipple(
  motor: Motor,
  current: Float64Array,
  motorSpeed: Float64Array,
  busVoltage: Float64Array,
): number {
  let most = 0;
  for (let k = 0; k < current.length; k++) {
    const i = current[k];
    const w = motor.polePairs * motorSpeed[k];
    const along = motor.resistance * i + w * motor.fluxLinkage;
    const phase = Math.hypot(w * motor.inductanceQ * i, along);
    if (phase === 0) continue;
    const ripple = rippleCurrent(
      Math.abs(i) / Math.SQRT2,
      (2 * phase) / busVoltage[k],
      (along * Math.sign(i)) / phase,
    );
    if (ripple > most) most = ripple;
  }
  return most;
}
