/** Power that flows back to the bus over a stride. */
export interface BrakingBurst {
  /** J of the largest stretch without a break, across the stride's end too. */
  readonly energy: number;
  /** Largest W. */
  readonly peak: number;
}

/**
 * The largest stretch of returned power: what a capacitor must take that is left alone with it. `power` over a closed stride of `time` s,
 * evenly sampled, both ends the same instant. Each interval counts with the mean of its ends, and only what is below zero of them.
 */
export function brakingBurst(power: Float64Array, time: number): BrakingBurst {
  const n = power.length - 1;
  let most = 0;
  let run = 0;
  let peak = 0;
  // twice round, so that a stretch across the end is whole; one that never breaks is one stride's
  const rounds = power.some((watts) => watts >= 0) ? 2 : 1;
  for (let k = 0; k < rounds * n; k++) {
    const returned = -(Math.min(power[k % n], 0) + Math.min(power[(k % n) + 1], 0)) / 2;
    run = returned > 0 ? run + returned : 0;
    most = Math.max(most, run);
    peak = Math.max(peak, -power[k % n]);
  }
  return { energy: (most * time) / n, peak };
}

/** d current that burns `watts` in the windings without torque, A:  √(P/(1.5·R)). */
export const burningCurrent = (resistance: number, watts: number): number =>
  Math.sqrt(watts / (1.5 * resistance));
