import { sampleCurve } from './curve.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import { deviceMasses } from './device-moment.ts';
import { hipPath } from './hip-path.ts';
import { GRAVITY, inverseDynamics } from './inverse-dynamics.ts';
import type { LegSegments, Stride } from './stride.ts';

/** kg·m², N·m, engine signs. */
export interface LimbLoad {
  inertia: number;
  torque: number;
}

/**
 * What hangs from a joint, rotor and gears left out: inertia·θ̈ = torque + what the joint adds, at time s, angle rad and velocity rad/s.
 * Fills and returns `into`.
 */
export type FreeLimb = (time: number, angle: number, velocity: number, into: LimbLoad) => LimbLoad;

// Strides are values: what carries a limb is sampled once for each.
const carriers = new WeakMap<Stride, ReturnType<typeof carrierOf>>();

function carrierOf(stride: Stride) {
  const ankle = stride.joints.ankle;
  if (stride.thigh === undefined || stride.joints.knee === undefined || ankle === undefined) return undefined;
  return { hip: hipPath(stride), thigh: sampleCurve(stride.thigh), ankle: sampleCurve(ankle.angle) };
}

/**
 * Shank and foot at the knee of a stride whose thigh, hip and ankle move as they do in it, from `percent` on, nothing touching the
 * ground:
 *
 *     torque = −τ_knee(θ̈ = 0) of the chain,   inertia = I_s + m_s·c_s² + I_f + m_f·|l_s + R(θ_ankle)·c_f|²
 *
 * I, m, c: inertia, mass and centre of shank and foot, l_s from knee to ankle along the shank. The chain's torque is linear in θ̈.
 *
 * The knee is free, thigh and hip are not: a wearer whose knee does something else will move them otherwise. Motion between samples is
 * linear. Undefined where the stride has no thigh, knee or ankle angle.
 */
export function carriedLimb(stride: Stride, segments: LegSegments, percent: number): FreeLimb | undefined {
  const carrier = carriers.has(stride) ? carriers.get(stride) : carrierOf(stride);
  carriers.set(stride, carrier);
  if (carrier === undefined) return undefined;
  const { hip, thigh, ankle } = carrier;
  const masses = deviceMasses(segments);
  const { shank, foot } = masses;
  const alone = shank.inertia + shank.mass * (shank.centre.x ** 2 + shank.centre.z ** 2) + foot.inertia;
  const rate = 100 / stride.strideTime;
  const motion = () => ({ angle: 0, velocity: 0, acceleration: 0 });
  const at = { thigh: motion(), shank: motion(), foot: motion(), hip: { x: 0, z: 0 } };
  const loads = { hip: 0, knee: 0, ankle: 0 };
  return (time, angle, velocity, into) => {
    const place = ((percent + rate * time) / 100) * (STRIDE_SAMPLES - 1);
    const i = Math.min(STRIDE_SAMPLES - 2, Math.floor(place));
    const w = place - i;
    at.thigh.angle = between(thigh.value, i, w);
    at.thigh.velocity = between(thigh.slope, i, w) * rate;
    at.thigh.acceleration = between(thigh.curvature, i, w) * rate * rate;
    at.shank.angle = at.thigh.angle - angle;
    at.shank.velocity = at.thigh.velocity - velocity;
    at.shank.acceleration = at.thigh.acceleration;
    const bend = between(ankle.value, i, w);
    at.foot.angle = at.shank.angle + bend;
    at.foot.velocity = at.shank.velocity + between(ankle.slope, i, w) * rate;
    at.foot.acceleration = at.shank.acceleration + between(ankle.curvature, i, w) * rate * rate;
    at.hip.x = between(hip.x, i, w);
    at.hip.z = between(hip.z, i, w);
    into.torque = -inverseDynamics(masses, at, GRAVITY, loads).knee;
    // the ankle bends by this: the foot's centre in the shank's frame, from the knee
    const [cos, sin] = [Math.cos(bend), Math.sin(bend)];
    const x = foot.centre.x * cos - foot.centre.z * sin;
    const z = foot.centre.x * sin + foot.centre.z * cos - shank.length;
    into.inertia = alone + foot.mass * (x * x + z * z);
    return into;
  };
}

/** A share `w` of the way from entry `i` to the next. */
const between = (y: Float64Array, i: number, w: number): number => y[i] + w * (y[i + 1] - y[i]);
