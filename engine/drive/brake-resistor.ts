/** Largest resistance that takes `peak` watts at the voltage `threshold`, Ω:  R ≤ V²/P. A smaller one takes more, and chops more. */
export const largestBrakeResistance = (threshold: number, peak: number): number =>
  (threshold * threshold) / peak;

/** Share of the time a brake resistor is on while it takes `mean` watts:  P̄/(V²/R). Above 1 it cannot. */
export const brakeDuty = (resistance: number, threshold: number, mean: number): number =>
  (mean * resistance) / (threshold * threshold);
