import { ANKLE, HIP_X, HIP_Z, KNEE, TERM, THIGH } from './leg-terms.ts';

/**
 * Accelerations of a walk's step, and the forces that prescribing takes. Hip forward is always prescribed: q̈_x stands in `a`. With
 * `prescribed` so is the thigh.
 *
 *     M_uu·q̈_u = Q_u − h_u − M_up·q̈_p,   R_p = (M·q̈ + h − Q)_p
 *
 * R, N and N·m, to `needed` at hip forward and, where it is prescribed, at the thigh; 0 elsewhere. M_uu = L·D·Lᵀ, written out: this runs
 * every step. Nothing is allocated.
 */
export function walkMotion(
  terms: Float64Array,
  force: Float64Array,
  prescribed: boolean,
  a: Float64Array,
  needed: Float64Array,
): void {
  const at = TERM.mass;
  const h = TERM.bias;
  const ax = a[HIP_X];
  const zz = terms[at + 6];
  const zh = terms[at + 7];
  const zk = terms[at + 8];
  const za = terms[at + 9];
  const xh = terms[at + 10];
  const hh = terms[at + 12];
  const hk = terms[at + 13];
  const ha = terms[at + 14];
  const xk = terms[at + 15];
  const kk = terms[at + 18];
  const ka = terms[at + 19];
  const xa = terms[at + 20];
  const aa = terms[at + 24];
  let bz = force[HIP_Z] - terms[h + 1];
  let bh = force[THIGH] - terms[h + 2] - xh * ax;
  let bk = force[KNEE] - terms[h + 3] - xk * ax;
  let ba = force[ANKLE] - terms[h + 4] - xa * ax;
  let thigh = a[THIGH];
  let torque = 0;
  let up: number;
  let knee: number;
  let ankle: number;
  const inverse = 1 / zz;
  if (prescribed) {
    bz -= zh * thigh;
    bk -= hk * thigh;
    ba -= ha * thigh;
    const lk = zk * inverse;
    const la = za * inverse;
    const dk = kk - lk * zk;
    const e = ka - lk * za;
    const l = e / dk;
    bk -= lk * bz;
    ba -= la * bz + l * bk;
    ankle = ba / (aa - la * za - l * e);
    knee = bk / dk - l * ankle;
    up = bz * inverse - lk * knee - la * ankle;
    torque = hh * thigh + zh * up + hk * knee + ha * ankle - bh;
  } else {
    const lh = zh * inverse;
    const lk = zk * inverse;
    const la = za * inverse;
    const dh = hh - lh * zh;
    const ek = hk - lh * zk;
    const ea = ha - lh * za;
    const mk = ek / dh;
    const ma = ea / dh;
    const dk = kk - lk * zk - mk * ek;
    const e = ka - lk * za - mk * ea;
    const l = e / dk;
    bh -= lh * bz;
    bk -= lk * bz + mk * bh;
    ba -= la * bz + ma * bh + l * bk;
    ankle = ba / (aa - la * za - ma * ea - l * e);
    knee = bk / dk - l * ankle;
    thigh = bh / dh - mk * knee - ma * ankle;
    up = bz * inverse - lh * thigh - lk * knee - la * ankle;
    a[THIGH] = thigh;
  }
  a[HIP_Z] = up;
  a[KNEE] = knee;
  a[ANKLE] = ankle;
  needed[HIP_X] = zz * ax + xh * thigh + xk * knee + xa * ankle + terms[h] - force[HIP_X];
  needed[HIP_Z] = 0;
  needed[THIGH] = torque;
  needed[KNEE] = 0;
  needed[ANKLE] = 0;
}
