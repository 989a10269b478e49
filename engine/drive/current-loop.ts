import { type Rad, rad } from '../quantity/angle.ts';
import type { Motor } from './leg-drive.ts';

/** A sampled current controller on one motor. */
export interface CurrentLoop {
  /** K_p, V/A. */
  readonly proportional: number;
  /** K_i, V/(A·s). */
  readonly integral: number;
  /** T_d, s. */
  readonly delay: number;
  /** What is left of 90° at the crossover, rad; zero or less oscillates. */
  readonly phaseMargin: Rad;
  /** Hz at which |i/i_cmd| is first 1/√2, delay included; NaN without phase margin. */
  readonly bandwidth: number;
  /** Largest |i/i_cmd|; NaN without phase margin. */
  readonly resonance: number;
}

/** T_d, s: one period to compute and half of one that the bridge holds its voltage, at `switchingFrequency` Hz. COMMON PRACTICE. */
export const loopDelay = (switchingFrequency: number): number => 1.5 / switchingFrequency;

/** Crossover, Hz, that leaves `margin` of phase:  ω_c = (π/2 − margin)/T_d. */
export const crossoverFor = (margin: Rad, delay: number): number =>
  (Math.PI / 2 - margin) / delay / (2 * Math.PI);

/**
 * Crossover, Hz, of a loop whose −3 dB frequency is `bandwidth` Hz: the same equation solved for ω_c.
 *
 *     x = sin(ω_b·T_d) + √(sin²(ω_b·T_d) + 1),   ω_c = ω_b/x
 */
export function crossoverOfBandwidth(bandwidth: number, delay: number): number {
  const sine = Math.sin(2 * Math.PI * bandwidth * delay);
  return bandwidth / (sine + Math.hypot(sine, 1));
}

/** Points of the search over x = ω/ω_c, all of it below 1 + √2: beyond, 1 + x² − 2x ≥ 2 whatever the delay. */
const POINTS = 4096;
const END = 1 + Math.SQRT2;

/**
 * PI control of the plant 1/(L·s + R) with its pole cancelled, at `crossover` Hz, ω_c = 2π·crossover.
 *
 *     K_p = ω_c·L,  K_i = ω_c·R,   open loop (ω_c/s)·e^{−s·T_d},   margin = π/2 − ω_c·T_d
 *     |i/i_cmd|² = 1/(1 − 2x·sin(x·d) + x²),   x = ω/ω_c,  d = ω_c·T_d
 *
 * The −3 dB frequency is where the right side is ½: ω_c itself only without delay, 2.3·ω_c at 60° of margin. R/(2πL) is the plant's own
 * pole and bounds nothing. L as the motor stores it: where iron saturates the crossover rises by as much as L falls, and the margin shrinks.
 * The bus is not in it; see `saturationFrequency`.
 */
export function currentLoop(
  motor: Pick<Motor, 'resistance' | 'inductanceQ'>,
  crossover: number,
  delay: number,
): CurrentLoop {
  const wc = 2 * Math.PI * crossover;
  const d = wc * delay;
  const square = (x: number): number => 1 - 2 * x * Math.sin(x * d) + x * x;
  let [least, first] = [1, Number.NaN];
  for (let k = 1; k <= POINTS; k++) {
    const x = (END * k) / POINTS;
    least = Math.min(least, square(x));
    if (Number.isNaN(first) && square(x) >= 2) first = x;
  }
  let [lo, hi] = [first - END / POINTS, first];
  for (let k = 0; k < 50; k++) {
    const mid = (lo + hi) / 2;
    if (square(mid) < 2) lo = mid;
    else hi = mid;
  }
  const stable = d < Math.PI / 2;
  return {
    proportional: wc * motor.inductanceQ,
    integral: wc * motor.resistance,
    delay,
    phaseMargin: rad(Math.PI / 2 - d),
    bandwidth: stable ? crossover * hi : Number.NaN,
    resonance: stable ? 1 / Math.sqrt(least) : Number.NaN,
  };
}
