/**
 * Phase of the thigh in its plane of angle and speed, rad.
 *
 *     φ = atan2(−θ̇/ω, θ − c)          c: middle of its swing, rad; ω: of the stride, rad/s
 *
 * Exact for θ = c + A·cos φ. Rises only while θ̇² > (θ − c)·θ̈; a second harmonic of little more than a quarter of the first
 * turns it back. ω is the last stride's, so a stride at another pace is misread. After Holgate, Sugar & Böhler, IEEE ICRA 2009,
 * 3845, FROM MEMORY.
 */
export const derivativePhase = (thigh: number, rate: number, centre: number, omega: number): number =>
  Math.atan2(-rate / omega, thigh - centre);

/** As `derivativePhase`, from the integral of θ − c, rad·s: φ = atan2(ω·I, θ − c). Less noise; drifts while the thigh is held. */
export const integralPhase = (thigh: number, integral: number, centre: number, omega: number): number =>
  Math.atan2(omega * integral, thigh - centre);

/** dφ/dt of `derivativePhase`, rad/s: (θ̇² − x·θ̈)/(ω·(x² + θ̇²/ω²)), x = θ − c. */
export function derivativePhaseRate(x: number, rate: number, acceleration: number, omega: number): number {
  return (rate * rate - x * acceleration) / (omega * (x * x + (rate / omega) ** 2));
}

/** dφ/dt of `integralPhase`, rad/s: ω·(x² − I·θ̇)/(x² + ω²·I²). */
export function integralPhaseRate(x: number, integral: number, rate: number, omega: number): number {
  return (omega * (x * x - integral * rate)) / (x * x + (omega * integral) ** 2);
}

/** Largest phase error of a cosine of this amplitude whose middle is misjudged by `offset`, rad: arcsin(δ/A). */
export const offsetPhaseError = (offset: number, amplitude: number): number => Math.asin(offset / amplitude);

/** Largest phase error where ω is `factor` times the true one, rad: arcsin(|γ − 1|/(γ + 1)). */
export const pacePhaseError = (factor: number): number => Math.asin(Math.abs(factor - 1) / (factor + 1));
