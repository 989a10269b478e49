import type { StrideDemand } from './demand-result.ts';
import type { LegSegments } from './stride.ts';

/** A point in the sagittal plane, m: x forward, z up. */
export interface Point {
  readonly x: number;
  readonly z: number;
}

/** Where the leg is, the hip at the origin. */
export interface LegPose {
  readonly knee: Point;
  readonly ankle: Point;
  /** Sole points of the rocker, in the leg file's order. */
  readonly sole: readonly Point[];
  /** z of the lowest sole point: minus this is the hip's height over the ground that it touches. */
  readonly lowest: number;
}

/**
 * Pose from segment and joint angles, rad, engine signs.
 *
 *     φ₁ = thigh, φ₂ = φ₁ − θ_knee, φ₃ = φ₂ + θ_ankle
 *     knee = L₁·(sin φ₁, −cos φ₁),  ankle = knee + L₂·(sin φ₂, −cos φ₂),  sole_i = ankle + R(φ₃)·s_i
 *
 * NaN where an angle is NaN.
 */
export function legPose(
  segments: LegSegments,
  thigh: number,
  kneeAngle: number,
  ankleAngle: number,
): LegPose {
  const shank = thigh - kneeAngle;
  const foot = shank + ankleAngle;
  const knee = {
    x: segments.thighLength * Math.sin(thigh),
    z: -segments.thighLength * Math.cos(thigh),
  };
  const ankle = {
    x: knee.x + segments.shank.length * Math.sin(shank),
    z: knee.z - segments.shank.length * Math.cos(shank),
  };
  const [cos, sin] = [Math.cos(foot), Math.sin(foot)];
  const sole = segments.sole.map(({ x, z }) => ({
    x: ankle.x + x * cos - z * sin,
    z: ankle.z + x * sin + z * cos,
  }));
  return { knee, ankle, sole, lowest: Math.min(...sole.map(({ z }) => z)) };
}

/** Hip height and poses over the stride, for drawing only. */
export interface PosedStride {
  readonly poses: readonly LegPose[];
  /** Height of the hip over level ground, m. */
  readonly hipHeight: Float64Array;
}

/**
 * The leg at every sample of the stride, with the hip at a height that a drawing can stand on: in stance the lowest sole point is
 * on the ground; in swing the hip passes in a straight line from its height at toe-off to that at the next contact, raised where
 * the sole would otherwise be in the ground. Level ground; the other leg, which truly carries the hip in swing, is not known here.
 * undefined where thigh, knee or ankle angle is missing.
 */
export function posedStride(demand: StrideDemand, segments: LegSegments): PosedStride | undefined {
  const { knee, ankle } = demand.joints;
  if (knee === undefined || ankle === undefined || segments.sole.length === 0) return undefined;
  const poses = Array.from(demand.percent, (_, i) =>
    legPose(segments, demand.thigh[i], knee.angle[i], ankle.angle[i]),
  );
  if (poses.some(({ lowest }) => Number.isNaN(lowest))) return undefined;
  const last = poses.length - 1;
  const toeOff = Math.round(demand.stance * last);
  const from = -poses[toeOff].lowest;
  const to = -poses[last].lowest;
  const hipHeight = Float64Array.from(poses, ({ lowest }, i) =>
    i <= toeOff ? -lowest : Math.max(-lowest, from + ((to - from) * (i - toeOff)) / (last - toeOff)),
  );
  return { poses, hipHeight };
}

/**
 * Where the ground force acts, m forward of the ankle, from the moments about the ankle of a foot without mass:
 *
 *     τ_ankle + x·F_z + h·F_x = 0   →   x = −(τ_ankle + h·F_x)/F_z
 *
 * h: height of the ankle over the ground, m; τ_ankle engine sign, N·m; forces on the foot, N. The foot's own weight and inertia are
 * left out: a few millimetres in stance. NaN without force, or where less than a twentieth of `bodyWeight` (N) stands on the foot: there
 * the quotient says nothing.
 */
export function pressurePoint(
  ankleMoment: number,
  force: { readonly vertical: number; readonly foreAft: number },
  ankleHeight: number,
  bodyWeight: number,
): number {
  if (!(force.vertical >= bodyWeight / 20)) return Number.NaN;
  return -(ankleMoment + ankleHeight * force.foreAft) / force.vertical;
}

/**
 * `pressurePoint` of a stride at one sample, from the moment as published: what sizing and coverage scaled up (`momentScale`) is taken
 * out again, since the published force was not scaled with it.
 */
export function pressureAhead(
  demand: StrideDemand,
  sample: number,
  ankleHeight: number,
  bodyWeight: number,
): number {
  const { ankle } = demand.joints;
  if (ankle === undefined) return Number.NaN;
  const force = {
    vertical: demand.groundForce.vertical[sample],
    foreAft: demand.groundForce.foreAft[sample],
  };
  return pressurePoint(ankle.humanMoment[sample] / ankle.momentScale, force, ankleHeight, bodyWeight);
}
