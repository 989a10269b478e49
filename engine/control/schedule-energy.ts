/** A course of the joint with the impedance that rules at each sample. A switch is two samples of one time, angle and velocity. */
export interface ScheduledCourse {
  /** s, rad, rad/s. */
  readonly time: Float64Array;
  readonly angle: Float64Array;
  readonly velocity: Float64Array;
  /** K, c, B. */
  readonly stiffness: Float64Array;
  readonly offset: Float64Array;
  readonly damping: Float64Array;
}

/** J, over the course. */
export interface ScheduleEnergy {
  /** Put in by changing K and θ_eq, and taken out by it (negative), and both together. */
  readonly given: number;
  readonly taken: number;
  readonly injected: number;
  /** Of each step, one fewer than samples. */
  readonly steps: Float64Array;
  /** Into the damper. */
  readonly dissipated: number;
  /** Done by the joint on the wearer, ∫τ·θ̇ dt. */
  readonly delivered: number;
  /** In the spring at the first and the last sample. */
  readonly storedFirst: number;
  readonly storedLast: number;
}

/**
 * What a scheduled spring takes from the battery, even where every K and B is positive:
 *
 *     V = ½·K·e²,  e = θ − θ_eq        V̇ + B·θ̇² + τ·θ̇ = ½·K̇·e² − K·e·θ̇_eq
 *
 * The right side is power put in by scheduling. A fixed spring and damper puts in none, and is passive; a schedule is only as passive as
 * this account. A step is counted as a change of K and c at its middle angle: exact at a switch, of second order in the step elsewhere.
 */
export function scheduleEnergy(course: ScheduledCourse): ScheduleEnergy {
  const { time, angle, velocity, stiffness: K, offset: c, damping: B } = course;
  const last = time.length - 1;
  const steps = new Float64Array(last);
  let [given, taken, dissipated, delivered] = [0, 0, 0, 0];
  for (let i = 0; i < last; i++) {
    const middle = (angle[i] + angle[i + 1]) / 2;
    const step = stored(K[i + 1], c[i + 1], middle) - stored(K[i], c[i], middle);
    steps[i] = step;
    if (step > 0) given += step;
    else taken += step;
    const half = (time[i + 1] - time[i]) / 2;
    const [v0, v1] = [velocity[i], velocity[i + 1]];
    dissipated += half * (B[i] * v0 * v0 + B[i + 1] * v1 * v1);
    delivered +=
      half *
      ((-K[i] * angle[i] + c[i] - B[i] * v0) * v0 +
        (-K[i + 1] * angle[i + 1] + c[i + 1] - B[i + 1] * v1) * v1);
  }
  return {
    given,
    taken,
    injected: given + taken,
    steps,
    dissipated,
    delivered,
    storedFirst: stored(K[0], c[0], angle[0]),
    storedLast: stored(K[last], c[last], angle[last]),
  };
}

/** ½·K·(θ − c/K)², J. */
const stored = (K: number, c: number, angle: number): number => (K * angle - c) ** 2 / (2 * K);
