import type { LegChain } from './leg-chain.ts';

/** Places of a coordinate in q, q̇, q̈ and in a generalised force: hip forward and up (m), thigh, knee and ankle (rad). */
export const HIP_X = 0;
export const HIP_Z = 1;
export const THIGH = 2;
export const KNEE = 3;
export const ANKLE = 4;
export const COORDINATES = 5;

/** Places in the terms of a leg. */
export const TERM = {
  /** Sine and cosine of the foot's angle. */
  footSin: 0,
  footCos: 1,
  /** r_1 + r_2: hip to ankle, m. */
  ankleX: 2,
  ankleZ: 3,
  /** r_2: knee to ankle, m. */
  shankX: 4,
  shankZ: 5,
  /** E_kin + E_pot with the hip's height counted from the ground, J. */
  kinetic: 6,
  potential: 7,
  /** Angle and rate of the foot. */
  foot: 8,
  footRate: 9,
  /** M, row by row: 25 numbers. */
  mass: 10,
  /** h: 5 numbers. */
  bias: 35,
} as const;

export const legTermsRoom = (): Float64Array => new Float64Array(40);

/**
 * Mass matrix and bias of the leg with the body on its hip, in q = (x, z, θ_thigh, θ_knee, θ_ankle):
 *
 *     M·q̈ + h = Q
 *
 * Segment angles φ_1 = θ_thigh, φ_2 = φ_1 − θ_knee, φ_3 = φ_2 + θ_ankle; R(φ) turns counter-clockwise, E = R(90°). With
 * g_i = R(φ_i)·(first moment of segment i), r_i = R(φ_i)·(0, −L_i):
 *
 *     M_12 = r_1·g_2,  M_13 = r_1·g_3,  M_23 = r_2·g_3,   n_ij = (E·r_i)·g_j,   Z_i = E·g_i
 *     H_1 = −n_12·φ̇_2² − n_13·φ̇_3² + g·g_1x,  H_2 = n_12·φ̇_1² − n_23·φ̇_3² + g·g_2x,  H_3 = n_13·φ̇_1² + n_23·φ̇_2² + g·g_3x
 *     hip:  m_tot·p̈ + Σ Z_i·φ̈_i − Σ φ̇_i²·g_i + m_tot·(0, g)
 *
 * and θ for φ by the chain rule: a column of the knee is −(φ_2 + φ_3), one of the ankle φ_3. Rotors count as inertia on their own joint's
 * angle; that their housings turn too is left out, a share 1/N of that inertia. Lagrange's equations, worked out here; tests hold them
 * against Newton–Euler, a symbolic derivation and a general-purpose dynamics engine. Writes `terms`; nothing is allocated.
 */
export function legTerms(leg: LegChain, q: Float64Array, v: Float64Array, terms: Float64Array): void {
  const phi1 = q[THIGH];
  const phi2 = phi1 - q[KNEE];
  const phi3 = phi2 + q[ANKLE];
  const w1 = v[THIGH];
  const w2 = w1 - v[KNEE];
  const w3 = w2 + v[ANKLE];
  const c1 = Math.cos(phi1);
  const s1 = Math.sin(phi1);
  const c2 = Math.cos(phi2);
  const s2 = Math.sin(phi2);
  const c3 = Math.cos(phi3);
  const s3 = Math.sin(phi3);
  const r1x = leg.thighLength * s1;
  const r1z = -leg.thighLength * c1;
  const r2x = leg.shankLength * s2;
  const r2z = -leg.shankLength * c2;
  const g1x = leg.thighX * c1 - leg.thighZ * s1;
  const g1z = leg.thighX * s1 + leg.thighZ * c1;
  const g2x = leg.shankX * c2 - leg.shankZ * s2;
  const g2z = leg.shankX * s2 + leg.shankZ * c2;
  const g3x = leg.footX * c3 - leg.footZ * s3;
  const g3z = leg.footX * s3 + leg.footZ * c3;
  const M11 = leg.thighInertia;
  const M22 = leg.shankInertia;
  const M33 = leg.footInertia;
  const M12 = r1x * g2x + r1z * g2z;
  const M13 = r1x * g3x + r1z * g3z;
  const M23 = r2x * g3x + r2z * g3z;
  const n12 = r1x * g2z - r1z * g2x;
  const n13 = r1x * g3z - r1z * g3x;
  const n23 = r2x * g3z - r2z * g3x;
  const q1 = w1 * w1;
  const q2 = w2 * w2;
  const q3 = w3 * w3;
  const g = leg.gravity;
  const H1 = g * g1x - n12 * q2 - n13 * q3;
  const H2 = g * g2x + n12 * q1 - n23 * q3;
  const H3 = g * g3x + n13 * q1 + n23 * q2;
  const m = leg.mass;
  const b = TERM.bias;
  terms[b] = -q1 * g1x - q2 * g2x - q3 * g3x;
  terms[b + 1] = m * g - q1 * g1z - q2 * g2z - q3 * g3z;
  terms[b + 2] = H1 + H2 + H3;
  terms[b + 3] = -H2 - H3;
  terms[b + 4] = H3;
  const a = TERM.mass;
  const xh = -g1z - g2z - g3z;
  const xk = g2z + g3z;
  const zh = g1x + g2x + g3x;
  const zk = -g2x - g3x;
  const hk = -(M12 + M13 + M22 + M33 + 2 * M23);
  const ha = M13 + M23 + M33;
  const ka = -(M23 + M33);
  terms[a] = m;
  terms[a + 1] = 0;
  terms[a + 2] = xh;
  terms[a + 3] = xk;
  terms[a + 4] = -g3z;
  terms[a + 5] = 0;
  terms[a + 6] = m;
  terms[a + 7] = zh;
  terms[a + 8] = zk;
  terms[a + 9] = g3x;
  terms[a + 10] = xh;
  terms[a + 11] = zh;
  terms[a + 12] = M11 + M22 + M33 + 2 * (M12 + M13 + M23);
  terms[a + 13] = hk;
  terms[a + 14] = ha;
  terms[a + 15] = xk;
  terms[a + 16] = zk;
  terms[a + 17] = hk;
  terms[a + 18] = M22 + M33 + 2 * M23 + leg.kneeOutputInertia;
  terms[a + 19] = ka;
  terms[a + 20] = -g3z;
  terms[a + 21] = g3x;
  terms[a + 22] = ha;
  terms[a + 23] = ka;
  terms[a + 24] = M33 + leg.ankleOutputInertia;
  const vx = v[HIP_X];
  const vz = v[HIP_Z];
  const wk = v[KNEE];
  const wa = v[ANKLE];
  terms[TERM.kinetic] =
    0.5 * m * (vx * vx + vz * vz) -
    vx * (g1z * w1 + g2z * w2 + g3z * w3) +
    vz * (g1x * w1 + g2x * w2 + g3x * w3) +
    0.5 *
      (M11 * q1 + M22 * q2 + M33 * q3 + leg.kneeOutputInertia * wk * wk + leg.ankleOutputInertia * wa * wa) +
    M12 * w1 * w2 +
    M13 * w1 * w3 +
    M23 * w2 * w3;
  terms[TERM.potential] = g * (m * q[HIP_Z] + g1z + g2z + g3z);
  terms[TERM.footSin] = s3;
  terms[TERM.footCos] = c3;
  terms[TERM.ankleX] = r1x + r2x;
  terms[TERM.ankleZ] = r1z + r2z;
  terms[TERM.shankX] = r2x;
  terms[TERM.shankZ] = r2z;
  terms[TERM.foot] = phi3;
  terms[TERM.footRate] = w3;
}
