import { type SeriesCurve, smoothPeriodic } from '../gait/smooth-periodic.ts';

/**
 * A joint over the stride phase s, as numbers alone: d, a_0, a_1, b_1, a_2, b_2 …
 *
 *     q(s) = d·s + a_0 + Σ a_k·cos 2πks + b_k·sin 2πks,   0 ≤ s ≤ 1
 *
 * d is 0 but where the source's curve does not close. All derivatives are continuous, at initial contact as well where d is 0.
 */
export type Trajectory = Float64Array;

/**
 * Trajectory of n even samples of one stride, the end included, so n + 1 values; `harmonics` below n/2.
 *
 *     least (1/n)·Σ (q(s_i) − y_i)² + λ/(2π)⁴·∫ q″² ds   →   a_k, b_k of the plain fit ÷ (1 + λ·k⁴)
 *
 * as even samples leave the harmonics independent. λ = 0 fits as closely as so many harmonics can.
 */
export function periodicTrajectory(y: ArrayLike<number>, harmonics: number, smoothing = 0): Trajectory {
  return trajectoryOf(smoothPeriodic(y, harmonics), smoothing);
}

/** The numbers of a series, each harmonic ÷ (1 + λ·k⁴). */
function trajectoryOf(series: SeriesCurve, smoothing: number): Trajectory {
  const made = new Float64Array(2 + 2 * series.cos.length);
  made[0] = series.drift;
  made[1] = series.mean;
  for (let k = 1; k <= series.cos.length; k++) {
    made[2 * k] = series.cos[k - 1] / (1 + smoothing * k ** 4);
    made[2 * k + 1] = series.sin[k - 1] / (1 + smoothing * k ** 4);
  }
  return made;
}

/** Phase of the last call, with cosine and sine there. */
const last = Float64Array.of(Number.NaN, 0, 0);

/**
 * Value, slope and curvature over the phase, into `out` from `at` on: nothing is allocated. Multiples of the angle by addition
 * theorem, so one sine and one cosine a call; none where the last call was of the same phase, as of one joint after the other.
 */
export function trajectoryAt(trajectory: Trajectory, s: number, out: Float64Array, at: number): void {
  if (last[0] !== s) {
    const angle = 2 * Math.PI * s;
    last[0] = s;
    last[1] = Math.cos(angle);
    last[2] = Math.sin(angle);
  }
  const c1 = last[1];
  const s1 = last[2];
  let c = 1;
  let w = 0;
  let value = trajectory[1] + trajectory[0] * s;
  let slope = trajectory[0];
  let curvature = 0;
  for (let i = 2; i < trajectory.length; i += 2) {
    const turned = c * c1 - w * s1;
    w = w * c1 + c * s1;
    c = turned;
    const k = Math.PI * i; // 2π times the harmonic's number i/2
    const a = trajectory[i];
    const b = trajectory[i + 1];
    value += a * c + b * w;
    slope += k * (b * c - a * w);
    curvature -= k * k * (a * c + b * w);
  }
  out[at] = value;
  out[at + 1] = slope;
  out[at + 2] = curvature;
}

/**
 * Speed and acceleration of a joint that follows a phase, rad/s and rad/s²:
 *
 *     q̇ = q′·ṡ,   q̈ = q″·ṡ² + q′·s̈
 *
 * ṡ, s̈: 1/s and 1/s². With q̇ as the reference of the damping term the joint does not trail by damping ÷ stiffness.
 */
export function alongPhase(
  slope: number,
  curvature: number,
  phaseRate: number,
  phaseAcceleration: number,
): { readonly velocity: number; readonly acceleration: number } {
  return {
    velocity: slope * phaseRate,
    acceleration: curvature * phaseRate * phaseRate + slope * phaseAcceleration,
  };
}
