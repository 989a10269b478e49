import type { Motor } from './leg-drive.ts';

/** Phases tied together through so many ohms each (0: straight), or left open. */
export type PhaseShort = number | 'open';

/**
 * Braking torque of phases shorted through `added` Ω each, N·m on the shaft, against the motion; odd in `speed` (shaft, rad/s).
 *
 *     0 = R·i_d − ω_e·L_q·i_q,   0 = R·i_q + ω_e·(L_d·i_d + λ)        R = phase + added, ω_e = p·ω
 *     τ = 1.5·p·λ²·ω_e·R·(R² + ω_e²·L_q²)/(R² + ω_e²·L_d·L_q)²          L_d = L_q = L:  1.5·p·λ²·ω_e·R/(R² + ω_e²·L²)
 *
 * The exact steady state of the dq equations. It starts as a damper of 1.5·p²·λ²/R and falls again beyond its peak, where the
 * current turns to weaken the magnets. Steady: currents settle within L/R, a few milliseconds at most, against a stride's
 * hundreds. Cold winding, no saturation: hot copper brakes less at low speed and peaks later.
 */
export function shortTorque(motor: Motor, speed: number, added: number): number {
  const { polePairs: p, fluxLinkage: flux, inductanceD: Ld, inductanceQ: Lq } = motor;
  const R = motor.resistance + added;
  const w = p * speed;
  const square = R * R + w * w * Ld * Lq;
  return (1.5 * p * flux * flux * w * R * (R * R + w * w * Lq * Lq)) / (square * square);
}

/**
 * Where the shorted torque is largest, shaft rad/s and N·m:  dτ/dω = 0 with y = ω_e²/R², a = L_q², b = L_d·L_q
 *
 *     1 + 3·(a − b)·y − a·b·y² = 0                 L_d = L_q = L:  ω_e = R/L, τ = 0.75·p·λ²/L whatever the resistance
 */
export function shortPeak(motor: Motor, added: number): { speed: number; torque: number } {
  const a = motor.inductanceQ ** 2;
  const b = motor.inductanceD * motor.inductanceQ;
  const y = (3 * (a - b) + Math.sqrt(9 * (a - b) ** 2 + 4 * a * b)) / (2 * a * b);
  const speed = ((motor.resistance + added) * Math.sqrt(y)) / motor.polePairs;
  return { speed, torque: shortTorque(motor, speed, added) };
}

/** Peak phase current of the steady short, A:  √(i_d² + i_q²) = λ·ω_e·√(R² + ω_e²·L_q²)/(R² + ω_e²·L_d·L_q), λ/L_d at high speed. */
export function shortCurrent(motor: Motor, speed: number, added: number): number {
  const R = motor.resistance + added;
  const w = motor.polePairs * Math.abs(speed);
  return (
    (motor.fluxLinkage * w * Math.hypot(R, w * motor.inductanceQ)) /
    (R * R + w * w * motor.inductanceD * motor.inductanceQ)
  );
}
