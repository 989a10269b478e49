import type { JointDrive, Motor } from './leg-drive.ts';

/**
 * Peak phase voltage a bus can give, V: V_dc/2 with sine modulation, V_dc/√3 with space-vector modulation in its linear range,
 * times a margin for dead time, minimum pulse and current sampling.
 */
export function phaseVoltageLimit(
  busVoltage: number,
  drive: Pick<JointDrive, 'modulation' | 'voltageMargin'>,
): number {
  return (drive.voltageMargin * busVoltage) / (drive.modulation === 'sine' ? 2 : Math.sqrt(3));
}

/**
 * Highest shaft speed, rad/s, at q current `current` (A, peak phase; negative regenerates), i_d = 0, stiff bus, no saturation:
 *
 *     ω_e = [−λ·R·i + √(λ²R²i² − (L²i² + λ²)(R²i² − V²))]/(L²i² + λ²),   ω = ω_e/p
 *
 * from (ω_e·L·i)² + (R·i + ω_e·λ)² = V². NaN where not even standstill is possible (R·|i| > V).
 * `resistance` and `fluxLinkage` are taken as the motor stores them: at its reference temperature.
 */
export function speedLimit(motor: Motor, voltage: number, current: number): number {
  const { fluxLinkage: flux, resistance: R, inductanceQ: L, polePairs: p } = motor;
  const square = L * L * current * current + flux * flux;
  const rest = R * R * current * current - voltage * voltage;
  if (rest > 0) return Number.NaN;
  const b = flux * R * current;
  return (-b + Math.sqrt(b * b - square * rest)) / square / p;
}
