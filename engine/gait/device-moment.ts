import { sampleCurve } from './curve.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import { hipPath } from './hip-path.ts';
import { GRAVITY, inverseDynamics, type LegMasses } from './inverse-dynamics.ts';
import type { LegSegments, Stride } from './stride.ts';

/** Torque of the device's own segments on the stride's motion, N·m, engine signs, as if nothing touched the ground. */
export interface DeviceMoment {
  readonly hip: Float64Array;
  readonly knee: Float64Array;
  readonly ankle: Float64Array;
  readonly note: string;
}

/** The chain by masses; the thigh is left massless, since the residual limb in it is the wearer's, not the device's. */
export const deviceMasses = (segments: LegSegments): LegMasses => ({
  thigh: { length: segments.thighLength, mass: 0, inertia: 0, centre: { x: 0, z: 0 } },
  shank: segments.shank,
  foot: segments.foot,
});

/**
 * Inverse dynamics of `masses` over the stride: φ₁ = thigh, φ₂ = φ₁ − θ_knee, φ₃ = φ₂ + θ_ankle.
 * NaN throughout where the stride has no thigh, knee or ankle angle; the note says which.
 */
export function deviceMoment(stride: Stride, masses: LegMasses): DeviceMoment {
  const hip = new Float64Array(STRIDE_SAMPLES).fill(Number.NaN);
  const knee = new Float64Array(STRIDE_SAMPLES).fill(Number.NaN);
  const ankle = new Float64Array(STRIDE_SAMPLES).fill(Number.NaN);
  const { knee: kneeCurves, ankle: ankleCurves } = stride.joints;
  if (stride.thigh === undefined || kneeCurves === undefined || ankleCurves === undefined) {
    return { hip, knee, ankle, note: 'No thigh angle with this stride: in swing the human moment is kept.' };
  }
  const path = hipPath(stride);
  const thigh = sampleCurve(stride.thigh);
  const k = sampleCurve(kneeCurves.angle);
  const a = sampleCurve(ankleCurves.angle);
  const rate = 100 / stride.strideTime;
  const motion = () => ({ angle: 0, velocity: 0, acceleration: 0 });
  const at = { thigh: motion(), shank: motion(), foot: motion(), hip: { x: 0, z: 0 } };
  const loads = { hip: 0, knee: 0, ankle: 0 };
  for (let i = 0; i < STRIDE_SAMPLES; i++) {
    at.thigh.angle = thigh.value[i];
    at.thigh.velocity = thigh.slope[i] * rate;
    at.thigh.acceleration = thigh.curvature[i] * rate * rate;
    at.shank.angle = at.thigh.angle - k.value[i];
    at.shank.velocity = at.thigh.velocity - k.slope[i] * rate;
    at.shank.acceleration = at.thigh.acceleration - k.curvature[i] * rate * rate;
    at.foot.angle = at.shank.angle + a.value[i];
    at.foot.velocity = at.shank.velocity + a.slope[i] * rate;
    at.foot.acceleration = at.shank.acceleration + a.curvature[i] * rate * rate;
    at.hip.x = path.x[i];
    at.hip.z = path.z[i];
    inverseDynamics(masses, at, GRAVITY, loads);
    hip[i] = loads.hip;
    knee[i] = loads.knee;
    ankle[i] = loads.ankle;
  }
  return { hip, knee, ankle, note: path.note };
}
