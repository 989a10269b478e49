import { type Rad, rad } from '../quantity/angle.ts';

/** A joint held by a spring and a damper of software, SI at the joint. */
export interface ImpedanceLoop {
  /** J_t = J_link + J_ref, kg·m². */
  readonly inertia: number;
  /** K_p, N·m/rad. */
  readonly stiffness: number;
  /** K_d, N·m·s/rad. */
  readonly damping: number;
  /** b: what the joint itself damps, N·m·s/rad. */
  readonly friction: number;
  /** Whether K_d acts on the error's rate or on the measured speed alone. */
  readonly dampingOn: 'error' | 'speed';
  /** T_d in the loop, s. */
  readonly delay: number;
}

/** How such a loop follows its command. */
export interface ImpedanceResponse {
  /** Hz, without delay. */
  readonly naturalFrequency: number;
  readonly dampingRatio: number;
  /** rad; zero or less oscillates. */
  readonly phaseMargin: Rad;
  /** Hz at which |θ/θ_cmd| is first 1/√2; NaN without phase margin. */
  readonly bandwidth: number;
}

/**
 * |θ/θ_cmd| at `frequency` Hz:
 *
 *     H = C·e^{−s·T_d}/(J_t·s² + b·s + (K_d·s + K_p)·e^{−s·T_d}),   C = K_d·s + K_p on error, K_p on measured speed
 */
export function impedanceGain(loop: ImpedanceLoop, frequency: number): number {
  const w = 2 * Math.PI * frequency;
  const { inertia, stiffness, damping, friction, dampingOn, delay } = loop;
  const [cos, sin] = [Math.cos(w * delay), Math.sin(w * delay)];
  const real = stiffness * cos + damping * w * sin - inertia * w * w;
  const imaginary = damping * w * cos - stiffness * sin + friction * w;
  const command = dampingOn === 'error' ? Math.hypot(stiffness, damping * w) : stiffness;
  return command / Math.hypot(real, imaginary);
}

/**
 * Bandwidth and margin of `loop`, small signals, gears rigid.
 *
 *     ω_n = √(K_p/J_t),   ζ = (K_d + b)/(2√(K_p·J_t))
 *     margin = π/2 + atan(K_d·ω/K_p) − atan(J_t·ω/b) − ω·T_d  where |loop| = 1: J_t²·y² + (b² − K_d²)·y − K_p² = 0, y = ω²
 *
 * Damping on error roughly doubles the −3 dB frequency over damping on measured speed: no number without saying which. The loop's gain
 * falls with frequency, so that a margin above zero is stability; with elastic gears, or an environment, it is not.
 */
export function impedanceLoop(loop: ImpedanceLoop): ImpedanceResponse {
  const { inertia: J, stiffness: K, damping: D, friction: b, delay } = loop;
  const natural = Math.sqrt(K / J);
  const half = (D * D - b * b) / (2 * J * J);
  const crossing = Math.sqrt(half + Math.hypot(half, K / J));
  const margin = Math.PI / 2 + Math.atan((D * crossing) / K) - Math.atan2(J * crossing, b) - crossing * delay;
  return {
    naturalFrequency: natural / (2 * Math.PI),
    dampingRatio: (D + b) / (2 * Math.sqrt(K * J)),
    phaseMargin: rad(margin),
    bandwidth: margin > 0 ? firstFall(loop, natural / (2 * Math.PI)) : Number.NaN,
  };
}

const STEP = 1.005;

/** First frequency at which the gain is 1/√2, from far under the natural one, by steps of ½ % and bisection. */
function firstFall(loop: ImpedanceLoop, natural: number): number {
  let f = natural / 1000;
  while (impedanceGain(loop, f * STEP) > Math.SQRT1_2) f *= STEP;
  let [lo, hi] = [f, f * STEP];
  for (let k = 0; k < 50; k++) {
    const mid = (lo + hi) / 2;
    if (impedanceGain(loop, mid) > Math.SQRT1_2) lo = mid;
    else hi = mid;
  }
  return lo;
}

/**
 * Largest stiffness, N·m/rad, that a sampled spring may render and stay passive whatever the joint touches:
 *
 *     b > K·T/2 + |B|   →   K < 2·(b − |B|)/T
 *
 * `friction` b N·m·s/rad of the joint itself, `damping` B of the software, `period` T s, position held over a period, no further delay,
 * no dry friction. Negative: not even a spring of zero. Colgate & Schenkel, J. Robotic Systems 14 (1997) 37–47 (FROM MEMORY); a
 * simulation is its witness in the test.
 */
export const passiveStiffness = (friction: number, damping: number, period: number): number =>
  (2 * (friction - Math.abs(damping))) / period;
