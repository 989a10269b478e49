import type { Motor } from './leg-drive.ts';

/**
 * d current that brings a motor at shaft speed `speed` and q current `current` onto the voltage circle, A, i_d ≤ 0: the root nearer to
 * zero of
 *
 *     (R·i_d − ω_e·L_q·i_q)² + (R·i_q + ω_e·(L_d·i_d + λ))² = V²,   ω_e = p·ω
 *
 * 0 where the voltage suffices without; NaN where no d current helps. It costs 1.5·R·i_d² of copper, and the demagnetisation limit
 * binds first. When power is lost at that speed the motor feeds the bus with √3·p·λ·ω, line to line, through the diodes: keep that below
 * what the electronics stand. Linear: no saturation.
 */
export function weakeningCurrent(motor: Motor, voltage: number, speed: number, current: number): number {
  const { resistance: R, inductanceD: Ld, inductanceQ: Lq, fluxLinkage: flux } = motor;
  const w = motor.polePairs * speed;
  const across = w * Lq * current;
  const along = R * current + w * flux;
  const over = across * across + along * along - voltage * voltage;
  if (over <= 0) return 0;
  const square = R * R + w * w * Ld * Ld;
  const half = w * Ld * along - R * across;
  const left = half * half - square * over;
  // both roots have the sign of −half: above zero means that only strengthening the field would do
  if (left < 0 || half <= 0) return Number.NaN;
  return -over / (half + Math.sqrt(left));
}

/** Characteristic current λ/L_d, A: with that much d current the magnets' flux is gone, and in theory no speed limit is left. */
export const characteristicCurrent = ({ fluxLinkage, inductanceD }: Motor): number =>
  fluxLinkage / inductanceD;
