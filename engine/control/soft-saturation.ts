/**
 * Keeps x within 0 … 1 with a continuous slope.
 *
 *     0 below −ε,   (x + ε)²/4ε to ε,   x to 1 − ε,   1 − (1 + ε − x)²/4ε to 1 + ε,   1 above
 *
 * A hard stop makes the speed of what follows x jump; this one costs ε/4 at the ends. 0 < ε ≤ 0.5.
 */
export function softSaturation(x: number, epsilon: number): number {
  if (x <= -epsilon) return 0;
  if (x >= 1 + epsilon) return 1;
  if (x < epsilon) return ((x + epsilon) * (x + epsilon)) / (4 * epsilon);
  if (x > 1 - epsilon) return 1 - ((1 + epsilon - x) * (1 + epsilon - x)) / (4 * epsilon);
  return x;
}

/** Slope of `softSaturation`. */
export function softSaturationSlope(x: number, epsilon: number): number {
  if (x <= -epsilon || x >= 1 + epsilon) return 0;
  if (x < epsilon) return (x + epsilon) / (2 * epsilon);
  if (x > 1 - epsilon) return (1 + epsilon - x) / (2 * epsilon);
  return 1;
}
