import type { Segment } from './stride.ts';

/** Standard acceleration of free fall, m/s²: CGPM 1901, by definition. */
export const GRAVITY = 9.80665;

/** One segment's motion at an instant: angle φ (hanging straight down is 0), φ̇, φ̈. rad, rad/s, rad/s². */
export interface SegmentMotion {
  readonly angle: number;
  readonly velocity: number;
  readonly acceleration: number;
}

/** The chain at an instant. The thigh may be left out of the result by giving it no mass. */
export interface LegInstant {
  readonly thigh: SegmentMotion;
  readonly shank: SegmentMotion;
  readonly foot: SegmentMotion;
  /** Acceleration of the hip, m/s², forward and up. */
  readonly hip: { readonly x: number; readonly z: number };
}

export interface LegMasses {
  readonly thigh: Segment;
  readonly shank: Segment;
  readonly foot: Segment;
}

/** Joint torques, N·m, engine signs, and the forces of the proximal on the distal segment, N. */
export interface JointLoads {
  hip: number;
  knee: number;
  ankle: number;
}

/**
 * Planar Newton–Euler from foot to hip, nothing touching the ground, rotors left out (the drive adds them).
 *
 *     F_i = m_i·(a_i − g) + F_{i+1}
 *     T_i = I_i·φ̈_i + T_{i+1} + c_i × F_i + (l_i − c_i) × F_{i+1}
 *
 * c_i: joint to centre of mass, l_i: joint to next joint, both in the world; × is the out-of-plane component (x·F_z − z·F_x).
 * T turns the distal segment counter-clockwise, so that τ_hip = T_1, τ_knee = −T_2, τ_ankle = T_3 (flexion of the knee turns the
 * shank clockwise). `into` is filled and returned: this runs 201 times for each task.
 */
export function inverseDynamics(
  leg: LegMasses,
  at: LegInstant,
  gravity: number,
  into: JointLoads,
): JointLoads {
  const { thigh, shank, foot } = leg;
  const c1 = Math.cos(at.thigh.angle);
  const s1 = Math.sin(at.thigh.angle);
  const c2 = Math.cos(at.shank.angle);
  const s2 = Math.sin(at.shank.angle);
  const c3 = Math.cos(at.foot.angle);
  const s3 = Math.sin(at.foot.angle);
  const w1 = at.thigh.velocity ** 2;
  const w2 = at.shank.velocity ** 2;
  const w3 = at.foot.velocity ** 2;
  const e1 = at.thigh.acceleration;
  const e2 = at.shank.acceleration;
  const e3 = at.foot.acceleration;
  // joint to joint, and joint to centre of mass, in the world: R(φ)·(x, z)
  const l1x = thigh.length * s1;
  const l1z = -thigh.length * c1;
  const l2x = shank.length * s2;
  const l2z = -shank.length * c2;
  const r1x = thigh.centre.x * c1 - thigh.centre.z * s1;
  const r1z = thigh.centre.x * s1 + thigh.centre.z * c1;
  const r2x = shank.centre.x * c2 - shank.centre.z * s2;
  const r2z = shank.centre.x * s2 + shank.centre.z * c2;
  const r3x = foot.centre.x * c3 - foot.centre.z * s3;
  const r3z = foot.centre.x * s3 + foot.centre.z * c3;
  // acceleration of a point r on a turning body: a + φ̈·E·r − φ̇²·r, E·(x, z) = (−z, x)
  const kneeX = at.hip.x - e1 * l1z - w1 * l1x;
  const kneeZ = at.hip.z + e1 * l1x - w1 * l1z;
  const ankleX = kneeX - e2 * l2z - w2 * l2x;
  const ankleZ = kneeZ + e2 * l2x - w2 * l2z;
  const f3x = foot.mass * (ankleX - e3 * r3z - w3 * r3x);
  const f3z = foot.mass * (ankleZ + e3 * r3x - w3 * r3z + gravity);
  const f2x = shank.mass * (kneeX - e2 * r2z - w2 * r2x) + f3x;
  const f2z = shank.mass * (kneeZ + e2 * r2x - w2 * r2z + gravity) + f3z;
  const f1x = thigh.mass * (at.hip.x - e1 * r1z - w1 * r1x) + f2x;
  const f1z = thigh.mass * (at.hip.z + e1 * r1x - w1 * r1z + gravity) + f2z;
  const t3 = foot.inertia * e3 + r3x * f3z - r3z * f3x;
  const t2 = shank.inertia * e2 + t3 + (r2x * f2z - r2z * f2x) + ((l2x - r2x) * f3z - (l2z - r2z) * f3x);
  const t1 = thigh.inertia * e1 + t2 + (r1x * f1z - r1z * f1x) + ((l1x - r1x) * f2z - (l1z - r1z) * f2x);
  into.hip = t1;
  into.knee = -t2;
  into.ankle = t3;
  return into;
}
