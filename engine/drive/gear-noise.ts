/** What Masuda's formula takes of a pair of gears. */
export interface GearPair {
  /** β, rad. */
  readonly helix: number;
  /** u ≥ 1: teeth of the wheel ÷ teeth of the pinion. */
  readonly toothRatio: number;
  /** ε_α: how many pairs of teeth carry, on the mean. */
  readonly contactRatio: number;
  /** v: at the pitch circle, m/s. */
  readonly pitchSpeed: number;
  /** W: carried, W. */
  readonly power: number;
}

const term = (g: GearPair): number =>
  (20 *
    (1 - Math.tan(g.helix / 2)) *
    g.toothRatio ** 0.125 *
    Math.sqrt((5.56 + Math.sqrt(g.pitchSpeed)) / 5.56)) /
  g.contactRatio ** 0.25;

/**
 * How much louder pair `b` is than pair `a`, dB, of like accuracy: the difference of
 *
 *     L = 20·(1 − tan(β/2))·u^(1/8)·ε_α^(−1/4)·√((5.56 + √v)/5.56) + 20·log₁₀ W + …
 *
 * Masuda, Abe & Hattori, J. Vibration, Acoustics, Stress and Reliability in Design 108 (1986) 95–100 (abstract seen: agreement of about
 * 5 dB; body of the formula FROM MEMORY). Only the difference is given. The formula was fitted to industrial gears of kilowatts, and at
 * the power of a prosthesis its level is not credible: levels are measured, see `soundLevels`.
 */
export const gearNoiseDifference = (a: GearPair, b: GearPair): number =>
  term(b) - term(a) + 20 * Math.log10(b.power / a.power);

/**
 * How much louder the same gears are at `ratio` times the speed, dB:  20·log₁₀ ratio, that is 6 dB per doubling. COMMON PRACTICE, good to
 * some 5 dB; a resonance that is met or left changes more.
 */
export const speedNoiseDifference = (ratio: number): number => 20 * Math.log10(ratio);
