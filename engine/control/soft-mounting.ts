import { matrixExponential } from '../numeric/matrix-exponential.ts';

/** What a housing on a soft mounting does beside the thigh, sample by sample: rad, rad/s, rad/s². */
export interface Sway {
  readonly angle: Float64Array;
  readonly rate: Float64Array;
  readonly acceleration: Float64Array;
}

/**
 * Sway y of a housing whose spring and damper stand on the thigh:
 *
 *     ÿ + 2ζω_n·ẏ + ω_n²·y = −θ̈
 *
 * θ̈: acceleration of the thigh, rad/s²; ω_n = 2π·frequency; ζ: damping ratio. In slow motion y ≈ −θ̈/ω_n². Stepped exactly for a θ̈
 * that goes straight from sample to sample (`dt` s apart), from rest. Gravity on the housing's own centre of mass is left out.
 */
export function softSway(
  { frequency, damping }: { readonly frequency: number; readonly damping: number },
  acceleration: Float64Array,
  dt: number,
): Sway {
  const n = acceleration.length;
  const w = 2 * Math.PI * frequency;
  // state y, ẏ, then θ̈ and its slope: the last two as constants of each step
  const step = matrixExponential(
    Float64Array.of(0, dt, 0, 0, -w * w * dt, -2 * damping * w * dt, -dt, 0, 0, 0, 0, dt, 0, 0, 0, 0),
    4,
  );
  const sway = { angle: new Float64Array(n), rate: new Float64Array(n), acceleration: new Float64Array(n) };
  let [y, v] = [0, 0];
  for (let k = 0; k < n; k++) {
    const a = acceleration[k];
    sway.angle[k] = y;
    sway.rate[k] = v;
    sway.acceleration[k] = -a - 2 * damping * w * v - w * w * y;
    const slope = k + 1 < n ? (acceleration[k + 1] - a) / dt : 0;
    const next = step[0] * y + step[1] * v + step[2] * a + step[3] * slope;
    v = step[4] * y + step[5] * v + step[6] * a + step[7] * slope;
    y = next;
  }
  return sway;
}
