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

/** Places of what is below a cut: the cut, and of each segment its mass, centre, inertia and length, SI. */
const PART = { cutX: 0, cutZ: 1, thigh: 2, shank: 7, gravity: 17 } as const;

/** What is below a cut in a row: from records of several kinds a walk would read it at a third of the speed. */
export const belowCut = ({ gravity, cut, thigh, shank, foot }: BelowCut): Float64Array =>
  Float64Array.of(
    cut.x,
    cut.z,
    ...[thigh, shank, foot].flatMap(({ mass, centre, inertia, length }) => [
      mass,
      centre.x,
      centre.z,
      inertia,
      length,
    ]),
    gravity,
  );

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
  const OF = PART;
  const A = ANKLE;
  const X = HIP_X;
  const Z = HIP_Z;
  const K = KNEE;
  const H = THIGH;
  return function segmentLoad(
    part: Float64Array,
    angles: Float64Array,
    v: Float64Array,
    a: Float64Array,
    ground: GroundLoad,
    into: Float64Array,
  ): Float64Array {
    const s1 = angles[POSE.thighSin];
    const c1 = angles[POSE.thighCos];
    const cutX = part[OF.cutX] * c1 - part[OF.cutZ] * s1;
    const cutZ = part[OF.cutX] * s1 + part[OF.cutZ] * c1;
    const gravity = part[OF.gravity];
    let forward = -ground.forward;
    let up = -ground.up;
    let moment = -(ground.aboutHip - (cutX * ground.up - cutZ * ground.forward));
    let jointX = -cutX;
    let jointZ = -cutZ;
    let accelerationX = a[X];
    let accelerationZ = a[Z] + gravity;
    let w = 0;
    let e = 0;
    for (let k = 0, at: number = OF.thigh; k < 3; k++, at += OF.shank - OF.thigh) {
      w = k === 0 ? v[H] : k === 1 ? w - v[K] : w + v[A];
      e = k === 0 ? a[H] : k === 1 ? e - a[K] : e + a[A];
      const sin = angles[3 * k + POSE.thighSin];
      const cos = angles[3 * k + POSE.thighCos];
      const mass = part[at];
      const x = part[at + 1];
      const z = part[at + 2];
      const length = part[at + 4];
      const dx = x * cos - z * sin;
      const dz = x * sin + z * cos;
      const square = w * w;
      const fx = mass * (accelerationX - e * dz - square * dx);
      const fz = mass * (accelerationZ + e * dx - square * dz);
      forward += fx;
      up += fz;
      moment += part[at + 3] * e + (jointX + dx) * fz - (jointZ + dz) * fx;
      const lx = length * sin;
      const lz = -length * cos;
      jointX += lx;
      jointZ += lz;
      accelerationX += -e * lz - square * lx;
      accelerationZ += e * lx - square * lz;
    }
    into[CUT.forward] = forward;
    into[CUT.up] = up;
    into[CUT.moment] = moment;
    into[CUT.along] = up * c1 - forward * s1;
    into[CUT.across] = forward * c1 + up * s1;
    return into;
  };
})();
