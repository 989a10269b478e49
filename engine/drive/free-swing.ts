import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { LegSegments } from '../gait/stride.ts';
import { ellipticK } from '../numeric/elliptic.ts';
import type { Rad } from '../quantity/angle.ts';
import { breakawayTorque } from './back-drive.ts';
import type { JointDrive } from './leg-drive.ts';
import { reflectedInertia } from './reflected-inertia.ts';

/** A pendulum with friction: J·θ̈ + b·θ̇ + τ_c·sgn θ̇ + K·θ = 0 for small angles, K = m·g·l. */
export interface Pendulum {
  /** kg·m² about the axis, rotor included. */
  readonly inertia: number;
  /** N·m·s/rad */
  readonly viscous: number;
  /** N·m */
  readonly coulomb: number;
  /** m·g·l, N·m/rad for small angles. */
  readonly gravity: number;
  /** What holds it at rest, N·m; left out: the same as `coulomb`. */
  readonly breakaway?: number;
}

export interface SmallSwing {
  /** √(K/J), rad/s. */
  readonly naturalFrequency: number;
  readonly dampingRatio: number;
  /** π/(ω_n·√(1 − ζ²)), s; NaN where it creeps back without swinging, ζ ≥ 1. */
  readonly halfPeriod: number;
  /** Decrement δ over half a period. */
  readonly decrement: number;
}

/** ω_n = √(K/J), ζ = b/(2√(K·J)), δ = πζ/√(1 − ζ²), half period π/(ω_n√(1 − ζ²)). Coulomb friction does not change the time. */
export function smallSwing(p: Pendulum): SmallSwing {
  const naturalFrequency = Math.sqrt(p.gravity / p.inertia);
  const dampingRatio = p.viscous / (2 * Math.sqrt(p.gravity * p.inertia));
  const root = dampingRatio < 1 ? Math.sqrt(1 - dampingRatio ** 2) : Number.NaN;
  return {
    naturalFrequency,
    dampingRatio,
    halfPeriod: Math.PI / (naturalFrequency * root),
    decrement: (Math.PI * dampingRatio) / root,
  };
}

/**
 * Successive peaks |A_k|, rad, of a small swing let go at `start` ≥ 0, at most `count` of them:
 *
 *     A_{k+1} = (A_k − c)·e^{−δ} − c,  c = τ_c/K        equal to A_k = (A_0 + c·coth(δ/2))·e^{−kδ} − c·coth(δ/2)
 *
 * It stays at the first peak with A_k ≤ τ_s/K, which ends the list; so does a last half swing that does not reach the other side.
 * Feeny & Liang, J. Sound Vib. 195 (1996) 149–154, treat the inverse.
 */
export function swingPeaks(p: Pendulum, start: Rad, count = 1000): number[] {
  const c = p.coulomb / p.gravity;
  const held = (p.breakaway ?? p.coulomb) / p.gravity;
  const keep = Math.exp(-smallSwing(p).decrement);
  const peaks: number[] = [start];
  for (let last: number = start; last > held && peaks.length < count; ) {
    last = (last - c) * keep - c;
    if (!(last > 0)) break;
    peaks.push(last);
  }
  return peaks;
}

/**
 * Viscous and Coulomb friction from three successive peaks |A_k|:  e^{−δ} = (A_2 − A_1)/(A_1 − A_0),  c = (A_0·e^{−δ} − A_1)/(1 + e^{−δ}).
 * NaN where the peaks do not fall; noise can make either friction come out negative, which is then told and not mended.
 */
export function frictionFromPeaks(
  a0: number,
  a1: number,
  a2: number,
): { dampingRatio: number; deadBand: number } {
  const keep = a1 < a0 && a2 < a1 ? (a2 - a1) / (a1 - a0) : Number.NaN;
  const decrement = -Math.log(keep);
  return {
    dampingRatio: decrement / Math.sqrt(Math.PI ** 2 + decrement ** 2),
    deadBand: (a0 * keep - a1) / (1 + keep),
  };
}

/**
 * The other side of a swing of any size with Coulomb friction alone, rad: the A_1 > 0 with
 * m·g·l·(cos A_1 − cos A_0) = τ_c·(A_0 + A_1), energy lost to friction on the way. 0 where it does not pass the middle. By bisection.
 */
export function coulombPeak(gravity: number, coulomb: number, start: Rad): number {
  const left = (a: number) => gravity * (Math.cos(a) - Math.cos(start)) - coulomb * (start + a);
  if (left(0) <= 0) return 0;
  let lo = 0;
  let hi: number = start;
  while (hi - lo > 1e-15 * (1 + hi)) {
    const mid = (lo + hi) / 2;
    if (mid === lo || mid === hi) break;
    if (left(mid) > 0) lo = mid;
    else hi = mid;
  }
  return (lo + hi) / 2;
}

/** Period of a frictionless pendulum of this amplitude over that of a small one: (2/π)·K(sin²(A/2)). */
export const periodStretch = (amplitude: Rad): number =>
  (2 / Math.PI) * ellipticK(Math.sin(amplitude / 2) ** 2);

/** asin(τ_bd/(m·g·l)), rad: within it gravity cannot move the joint. NaN where gravity never can, τ_bd ≥ m·g·l. */
export const deadAngle = (breakaway: number, gravity: number): number =>
  breakaway < gravity ? Math.asin(breakaway / gravity) : Number.NaN;

/** Shank and foot as one pendulum about the knee, ankle at neutral, without rotor: mass moment m·l (kg·m) and inertia (kg·m²). */
export function legAboutKnee(segments: LegSegments): { massMoment: number; inertia: number } {
  const { shank, foot } = segments;
  const x = shank.mass * shank.centre.x + foot.mass * foot.centre.x;
  const z = shank.mass * shank.centre.z + foot.mass * (foot.centre.z - shank.length);
  const inertia =
    shank.inertia +
    shank.mass * (shank.centre.x ** 2 + shank.centre.z ** 2) +
    foot.inertia +
    foot.mass * (foot.centre.x ** 2 + (foot.centre.z - shank.length) ** 2);
  return { massMoment: Math.hypot(x, z), inertia };
}

/** The unpowered knee as a pendulum: shank and foot with rotor and gears, friction reflected through the mesh, phases open. */
export function kneePendulum(drive: JointDrive, segments: LegSegments): Pendulum {
  const { motor, transmission: t } = drive;
  const leg = legAboutKnee(segments);
  return {
    inertia: leg.inertia + reflectedInertia(motor, t),
    viscous: (t.ratio ** 2 * motor.viscousDrag) / t.backDrivenEfficiency + t.outputViscous,
    coulomb: (t.ratio * motor.coulombDrag) / t.backDrivenEfficiency + t.outputCoulomb,
    gravity: leg.massMoment * GRAVITY,
    breakaway: breakawayTorque(motor, t),
  };
}
