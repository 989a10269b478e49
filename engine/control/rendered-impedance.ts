import { meshTorque } from './mesh-torque.ts';
import { type Gains, loopAge, type SampledJoint } from './sampled-joint.ts';

/** What a hand feels that moves the joint to and fro at one frequency. */
export interface RenderedImpedance {
  /** Hz */
  readonly frequency: number;
  /** Re S, N·m/rad. */
  readonly stiffness: number;
  /** Im S/ω, N·m·s/rad. */
  readonly damping: number;
}

/**
 * Dynamic stiffness S = τ_ext/θ of the joint at `frequency` Hz, moved to and fro by `amplitude` rad.
 *
 *     D(z) = (1 − a)·(1 − z⁻¹)/(T·(1 − a·z⁻¹)),   z = e^(jωT)
 *     H = (1 + ε)·e^(−jω(T/2 + t_d))·sinc(ωT/2)/(1 + jωτ_i)
 *     M = −J_r·ω² + jω·(b_r + 4τ_c/(π·A·ω)) + H·(K + B·D)     at the rotor, then through the mesh (`meshTorque`)
 *     S = K_g·M/(K_g + M) − J_out·ω² + jω·(b_out + 4τ_c,out/(π·A·ω))     measured at the motor
 *     measured at the joint: M as (M_0 + H·C)/(1 − H·C/K_g)
 *     with inertia taken off by measured motion:  C = K + B·D − Ĵ·D²   (`compensated`, see `compensatedLoop`)
 *
 * Dry friction and mesh loss by describing functions: the first harmonic at that amplitude, which is the rotor's. Aliases neglected:
 * up to a fifth of the sample rate. Limits of torque and speed are not in it. Derived; a sampled simulation in time is its witness.
 */
export function renderedImpedance(
  joint: SampledJoint,
  gains: Gains,
  frequency: number,
  amplitude = Number.POSITIVE_INFINITY,
  compensated = 0,
): RenderedImpedance {
  const w = 2 * Math.PI * frequency;
  const [cRe, cIm] = softwareTorque(joint, gains, compensated, w);
  let re = cRe - joint.rotorInertia * w * w;
  let im = cIm + w * joint.rotorDamping + friction(joint.rotorCoulomb, amplitude);
  const kg = joint.gearStiffness;
  if (joint.measuredAt === 'joint') [re, im] = ratio(re, im, 1 - cRe / kg, -cIm / kg);
  [re, im] = meshTorque(re, im, joint.drivingEfficiency, joint.backDrivenEfficiency);
  [re, im] = ratio(re, im, 1 + re / kg, im / kg);
  return {
    frequency,
    stiffness: re - joint.outputInertia * w * w,
    damping: (im + w * joint.outputDamping + friction(joint.outputCoulomb, amplitude)) / w,
  };
}

/**
 * Inertia that is felt at `frequency` Hz, kg·m², where none is asked for:  (K − Re S)/ω²,  dry friction and mesh loss left out. Towards
 * slow motion that of `slowReading`; below zero the joint is stiffer than the spring that was asked.
 */
export function renderedInertia(
  joint: SampledJoint,
  { requested, software }: Pick<Rendering, 'requested' | 'software'>,
  frequency: number,
): number {
  const lossless = { ...joint, drivingEfficiency: 1, backDrivenEfficiency: 1 };
  const { stiffness } = renderedImpedance(lossless, software, frequency);
  return (requested.stiffness - stiffness) / (2 * Math.PI * frequency) ** 2;
}

/** First harmonic of dry friction, N·m/rad: 4τ_c/(π·A). */
const friction = (coulomb: number, amplitude: number): number => (4 * coulomb) / (Math.PI * amplitude);

/** H·(K + B·D − Ĵ·D²) at ω, real and imaginary part. */
function softwareTorque(
  joint: SampledJoint,
  gains: Gains,
  compensated: number,
  w: number,
): readonly [number, number] {
  const { period: T, filterPole: a, currentLag } = joint;
  const [cos, sin] = [Math.cos(w * T), Math.sin(w * T)];
  // z⁻¹ = cos − j·sin
  const [dRe, dIm] = ratio(((1 - a) * (1 - cos)) / T, ((1 - a) * sin) / T, 1 - a * cos, a * sin);
  const re = gains.stiffness + gains.damping * dRe - compensated * (dRe * dRe - dIm * dIm);
  const im = gains.damping * dIm - compensated * 2 * dRe * dIm;
  const half = (w * T) / 2;
  const held = half === 0 ? 1 : Math.sin(half) / half;
  const turn = half + w * joint.delay;
  const size = (1 + joint.constantError) * held;
  const [hRe, hIm] = ratio(size * Math.cos(turn), -size * Math.sin(turn), 1, w * currentLag);
  return [hRe * re - hIm * im, hRe * im + hIm * re];
}

/** (a + jb)/(c + jd). */
function ratio(a: number, b: number, c: number, d: number): [number, number] {
  const size = c * c + d * d;
  return [(a * c + b * d) / size, (b * c - a * d) / size];
}

/** What is left of an impedance where the motion is slow: Re S = K − inertia·ω² + …, Im S/ω = damping + … */
export interface SlowReading {
  /** N·m·s/rad */
  readonly damping: number;
  /** kg·m²; negative: the joint seems stiffer the faster it is moved. */
  readonly inertia: number;
}

/**
 * Damping and inertia of slow motion, lossless and without dry friction.
 *
 *     D = B − K·T_tot,   I = K·m₂/2 − B·(T_tot + T_v),   m₂ = T_tot² + T²/12 + τ_i²,  T_v = T/2 + T·a/(1 − a)
 *     rigid gears:            b_r + D + b_out,   J_r + I + J_out
 *     measured at the motor:  r²·(b_r + D) + b_out,   r²·(J_r + I − (b_r + D)²/(K_g + K)) + J_out,   r = K_g/(K_g + K)
 *     at the joint:           b_r·(1 − K/K_g) + D + b_out,   J_r·(1 − K/K_g) + I − b_r·(b_r + D − b_r·K/K_g)/K_g + J_out
 *
 *     `compensated` Ĵ:        I − Ĵ
 *
 * Delay takes damping away in proportion to the stiffness, and filtered damping takes inertia away. Gains are the software's.
 */
export function slowReading(joint: SampledJoint, gains: Gains, compensated = 0): SlowReading {
  const { period: T, filterPole: a, currentLag, gearStiffness: kg, rotorInertia, rotorDamping: b } = joint;
  const [K, B] = [gains.stiffness, gains.damping].map((x) => (1 + joint.constantError) * x) as [
    number,
    number,
  ];
  const age = loopAge(joint);
  const speedAge = T / 2 + (T * a) / (1 - a);
  const m2 = age * age + (T * T) / 12 + currentLag * currentLag;
  const damping = B - K * age;
  const inertia = (K * m2) / 2 - B * (age + speedAge) - (1 + joint.constantError) * compensated;
  if (joint.measuredAt === 'joint') {
    const left = 1 - K / kg;
    return {
      damping: b * left + damping + joint.outputDamping,
      inertia: rotorInertia * left + inertia - (b * (b * left + damping)) / kg + joint.outputInertia,
    };
  }
  const r2 = (1 / (1 + K / kg)) ** 2;
  return {
    damping: r2 * (b + damping) + joint.outputDamping,
    inertia: r2 * (rotorInertia + inertia - (b + damping) ** 2 / (kg + K)) + joint.outputInertia,
  };
}

/** What a joint is asked to be, the gains of its software, and by how far it is moved, rad. */
export interface Rendering {
  readonly requested: Gains;
  readonly software: Gains;
  readonly amplitude: number;
  /** Inertia that software takes off by measured motion, kg·m²; left out: none. */
  readonly compensated?: number;
}

/** Share by which the joint may be off. */
const OFF = 0.1;

/**
 * Highest frequency, Hz, up to which the joint is what was asked for, to a tenth:  |S/(K + jωB) − 1| ≤ 0.1. 0 where slow motion already
 * is not; +∞ where it is up to a fifth of the sample rate. About √(0.1·K/J)/2π where inertia dominates.
 */
export const impedanceBandwidth = (joint: SampledJoint, of: Rendering): number =>
  firstOff(joint, of, (got, w) => {
    const { stiffness: K, damping: B } = of.requested;
    return Math.hypot(got.stiffness - K, w * (got.damping - B)) <= OFF * Math.hypot(K, w * B);
  });

/** The same of the stiffness alone:  |Re S − K| ≤ 0.1·K. */
export const stiffnessBandwidth = (joint: SampledJoint, of: Rendering): number =>
  firstOff(
    joint,
    of,
    (got) => Math.abs(got.stiffness - of.requested.stiffness) <= OFF * of.requested.stiffness,
  );

/** First frequency looked at, Hz, and the step between two. */
const BEGIN = 0.02;
const STEP = 1.01;

/** First frequency at which `near` is not true, by steps of 1 % and bisection. */
function firstOff(
  joint: SampledJoint,
  { software, amplitude, compensated }: Rendering,
  near: (got: RenderedImpedance, w: number) => boolean,
): number {
  const off = (f: number): boolean =>
    !near(renderedImpedance(joint, software, f, amplitude, compensated), 2 * Math.PI * f);
  if (off(BEGIN)) return 0;
  const most = 0.2 / joint.period;
  let f = BEGIN;
  while (!off(f * STEP)) {
    f *= STEP;
    if (f > most) return Number.POSITIVE_INFINITY;
  }
  let [lo, hi] = [f, f * STEP];
  for (let k = 0; k < 40; k++) {
    const mid = (lo + hi) / 2;
    if (off(mid)) hi = mid;
    else lo = mid;
  }
  return lo;
}
