import type { Segment } from '../gait/stride.ts';
import { ANGLE } from './leg-angles.ts';
import { ANKLE, HIP_X, HIP_Z, KNEE, THIGH } from './leg-terms.ts';

/** Places in the load at a cut through the leg. */
export const LOAD = {
  /** Force on the part below the cut, N. */
  forward: 0,
  up: 1,
  /** Moment on that part about the cut, counter-clockwise, N·m. */
  moment: 2,
  /** The same force along the thigh (up +) and across it (forward +). */
  along: 3,
  across: 4,
} as const;

export const loadRoom = (): Float64Array => new Float64Array(5);

/** Below the cut: the lower part of the thigh, shank and foot. `cut` in the thigh's frame, m. */
export interface BelowCut {
  readonly gravity: number;
  readonly cut: { readonly x: number; readonly z: number };
  /** Of the thigh, what is below the cut; its length is the whole thigh's. */
  readonly thigh: Segment;
  readonly shank: Segment;
  readonly foot: Segment;
}

/** What the ground does to the foot: N, and the moment of its forces about the hip, N·m counter-clockwise. */
export interface GroundLoad {
  readonly forward: number;
  readonly up: number;
  readonly aboutHip: number;
}

/**
 * What the part above a cut through the thigh does to the part below it, as in the socket: Newton and Euler for all that hangs below.
 *
 *     F = Σ m·(p̈ + (0, g)) − F_ground
 *     M = Σ [I·φ̈ + (p − p_cut) × m·(p̈ + (0, g))] − (M_ground,hip − p_cut × F_ground),   a × b = a_x·b_z − a_z·b_x
 *
 * p from the hip. Angles of `legAngles`; v, a: coordinates of `legTerms`. Spin of the rotors, N·J_m·θ̈, is left out: a share 1/N of their reflected inertia.
 */
export const segmentLoad = (() => {
  // in a scope of its own, as in `walkTick`
  const POSE = ANGLE;
  const CUT = LOAD;
  const A = ANKLE;
  const X = HIP_X;
  const Z = HIP_Z;
  const K = KNEE;
  const H = THIGH;
  return function segmentLoad(
    part: BelowCut,
    angles: Float64Array,
    v: Float64Array,
    a: Float64Array,
    ground: GroundLoad,
    into: Float64Array,
  ): Float64Array {
    const w1 = v[H];
    const w2 = w1 - v[K];
    const w3 = w2 + v[A];
    const e1 = a[H];
    const e2 = e1 - a[K];
    const e3 = e2 + a[A];
    const s1 = angles[POSE.thighSin];
    const c1 = angles[POSE.thighCos];
    const cutX = part.cut.x * c1 - part.cut.z * s1;
    const cutZ = part.cut.x * s1 + part.cut.z * c1;
    let forward = -ground.forward;
    let up = -ground.up;
    let moment = -(ground.aboutHip - (cutX * ground.up - cutZ * ground.forward));
    let jointX = 0;
    let jointZ = 0;
    let accelerationX = a[X];
    let accelerationZ = a[Z];
    for (let k = 0; k < 3; k++) {
      const segment = k === 0 ? part.thigh : k === 1 ? part.shank : part.foot;
      const w = k === 0 ? w1 : k === 1 ? w2 : w3;
      const e = k === 0 ? e1 : k === 1 ? e2 : e3;
      const sin = angles[3 * k + POSE.thighSin];
      const cos = angles[3 * k + POSE.thighCos];
      const dx = segment.centre.x * cos - segment.centre.z * sin;
      const dz = segment.centre.x * sin + segment.centre.z * cos;
      const fx = segment.mass * (accelerationX - e * dz - w * w * dx);
      const fz = segment.mass * (accelerationZ + e * dx - w * w * dz + part.gravity);
      forward += fx;
      up += fz;
      moment += segment.inertia * e + (jointX + dx - cutX) * fz - (jointZ + dz - cutZ) * fx;
      const lx = segment.length * sin;
      const lz = -segment.length * cos;
      jointX += lx;
      jointZ += lz;
      accelerationX += -e * lz - w * w * lx;
      accelerationZ += e * lx - w * w * lz;
    }
    into[CUT.forward] = forward;
    into[CUT.up] = up;
    into[CUT.moment] = moment;
    into[CUT.along] = up * c1 - forward * s1;
    into[CUT.across] = forward * c1 + up * s1;
    return into;
  };
})();
