import { ANKLE, KNEE, THIGH } from './leg-terms.ts';

/** Places of the angles φ_i of thigh, shank and foot against the vertical, rad, and of their sines and cosines. */
export const ANGLE = {
  thigh: 0,
  thighSin: 1,
  thighCos: 2,
  shank: 3,
  shankSin: 4,
  shankCos: 5,
  foot: 6,
  footSin: 7,
  footCos: 8,
} as const;

/** φ_1 = θ_thigh, φ_2 = φ_1 − θ_knee, φ_3 = φ_2 + θ_ankle. */
export function legAngles(q: Float64Array): Float64Array {
  const thigh = q[THIGH];
  const shank = thigh - q[KNEE];
  const foot = shank + q[ANKLE];
  return Float64Array.from([thigh, shank, foot].flatMap((phi) => [phi, Math.sin(phi), Math.cos(phi)]));
}
