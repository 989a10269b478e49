/**
 * How uncertain one number is, and on what ground.
 *
 * `sd` is a standard deviation; `range` is the half width of an interval in which every value is held
 * equally likely, so its standard deviation is half width / √3. Both in the number's own SI unit.
 */
export interface Spread {
  /** Path inside the record it belongs to, such as `joints.knee.motor.coulombDrag`. */
  readonly path: string;
  readonly nominal: number;
  readonly sd?: number;
  readonly range?: number;
  readonly basis: 'designed' | 'measured' | 'assumed';
  /** Why it is assumed, or the fingerprint of the run that measured it. */
  readonly because?: string;
}

/** Standard deviation of a spread, in the number's own unit. */
export function spreadDeviation(spread: Spread): number {
  return spread.sd ?? (spread.range ?? 0) / Math.sqrt(3);
}
