import { sampleCurve } from './curve.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import { GRAVITY } from './inverse-dynamics.ts';
import type { Stride } from './stride.ts';

/** Acceleration of the hip over the stride, m/s², forward and up, and on what ground. */
export interface HipPath {
  readonly x: Float64Array;
  readonly z: Float64Array;
  readonly note: string;
}

// Strides are values: a path is worked out once for each.
const paths = new WeakMap<Stride, HipPath>();

const HALF = (STRIDE_SAMPLES - 1) / 2;

/**
 * Hip acceleration from the ground force of both legs:
 *
 *     a_z = g·(F_z(p) + F_z(p + 50 %) − mean),   a_x = g·(F_x(p) + F_x(p + 50 %) − mean)      F in body weights
 *
 * Newton's second law for the whole body, with the other leg half a stride later and alike, and the hip moving with the centre
 * of mass. Over a whole stride the body gains no momentum, so the mean force of both legs is one weight up and zero forward; the
 * published means miss that by a few per cent, and what they miss by is taken off as `mean`; the note gives it. Holds for level
 * walking at a steady speed, and is not done on stairs. With an unlike leg, as every wearer has, it is the able-bodied hip that is carried along. Without
 * ground force the hip is taken as unaccelerated, and the note says so.
 */
export function hipPath(stride: Stride): HipPath {
  const known = paths.get(stride);
  if (known !== undefined) return known;
  const path = hipPathOf(stride);
  paths.set(stride, path);
  return path;
}

function hipPathOf(stride: Stride): HipPath {
  const x = new Float64Array(STRIDE_SAMPLES);
  const z = new Float64Array(STRIDE_SAMPLES);
  const stairs = stride.activity === 'stair ascent' || stride.activity === 'stair descent';
  if (stride.groundForce === undefined || stairs) {
    return {
      x,
      z,
      note: stairs
        ? 'Swing: the hip is taken as unaccelerated, since on single stairs the other leg does not do the same half a stride later.'
        : 'Swing: the hip is taken as unaccelerated, no ground force was published with this stride.',
    };
  }
  const both = (force: Float64Array, into: Float64Array): number => {
    let mean = 0;
    for (let i = 0; i < STRIDE_SAMPLES - 1; i++) {
      into[i] = force[i] + force[(i + HALF) % (STRIDE_SAMPLES - 1)];
      mean += into[i] / (STRIDE_SAMPLES - 1);
    }
    for (let i = 0; i < STRIDE_SAMPLES - 1; i++) into[i] = GRAVITY * (into[i] - mean);
    into[STRIDE_SAMPLES - 1] = into[0];
    return mean;
  };
  const up = both(sampleCurve(stride.groundForce.vertical).value, z);
  const forward = both(sampleCurve(stride.groundForce.foreAft).value, x);
  return {
    x,
    z,
    note: `Swing: hip acceleration from the ground force of both legs, taken as alike (their mean is ${up.toFixed(3)} body weights up, where 1 is true, and ${forward.toFixed(3)} forward, where 0 is).`,
  };
}
