import { GRAVITY } from '../gait/inverse-dynamics.ts';
import { turnBy } from './quaternion.ts';

/** Places in the state of the attitude filter. Body axes: x forward, y to the left, z along the thigh to the hip. */
export const ATTITUDE = {
  /** Attitude as a quaternion (w, x, y, z), body to world. */
  attitude: 0,
  /** Learned bias of the gyro, rad/s, three axes. */
  bias: 4,
  /** Rate heard in the tick before, rad/s, three axes. */
  before: 7,
  /** Thigh angle, rad, and rate, rad/s, engine signs: what the controller reads. */
  thigh: 10,
  thighRate: 11,
  /** 0: in order; 1: an input of this tick was no number, and attitude and bias stayed. */
  fault: 12,
} as const;

/** How fast the accelerometer corrects: angle, 1/s, and bias, 1/s². */
export interface AttitudeGains {
  readonly angle: number;
  readonly bias: number;
}

/** Both from one time, s: k_p = 2/τ, k_i = 1/τ², a double pole at −1/τ. Our choice of damping. */
export const attitudeGains = (time: number): AttitudeGains => ({ angle: 2 / time, bias: 1 / (time * time) });

/**
 * A filter that begins in a leg at rest: attitude by the accelerometer, f, m/s², heading 0; bias by the gyro, rad/s. Both body axes.
 *
 *     q turns v = f/|f| to the vertical by the shortest way: about (v_y, −v_x, 0) by atan2(√(v_x² + v_y²), v_z)
 */
export function attitudeState(force: Float64Array, bias: Float64Array): Float64Array {
  const state = new Float64Array(13);
  const across = Math.hypot(force[0], force[1]);
  const half = Math.atan2(across, force[2]) / 2;
  state[ATTITUDE.attitude] = Math.cos(half);
  if (across > 0) {
    state[ATTITUDE.attitude + 1] = (Math.sin(half) * force[1]) / across;
    state[ATTITUDE.attitude + 2] = (-Math.sin(half) * force[0]) / across;
  }
  state.set(bias, ATTITUDE.bias);
  state[ATTITUDE.thigh] = Math.atan2(force[0], force[2]);
  return state;
}

/**
 * One tick of the thigh's attitude from a gyro, ω, rad/s, and an accelerometer, f, m/s², both in the body's axes.
 *
 *     v̂ = R(q)ᵀ·(0, 0, 1),   e = (f/g) × v̂
 *     q̇ = ½·q ⊗ (ω̄ − b̂ + k_p·e),   b̂˙ = −k_i·e,        ω̄: mean of the rate now and in the tick before; e after turning by it
 *     thigh = atan2(v̂_x, v̂_z),  rate = −(ω_y − b̂_y)
 *
 * The explicit complementary filter with bias of Mahony, Hamel & Pflimlin, IEEE Trans. Automatic Control 53 (2008) 1203–1218 (FROM
 * MEMORY), but for one thing: f is divided by g and not by its own length. Over a stride of steady walking the acceleration of any
 * point sums to nothing in the world, so this e has no mean; that of f/|f| has. In the plane and for small errors it is the two-state
 * filter θ̂˙ = ω − b̂ + k_p·(θ_f − θ̂), b̂˙ = −k_i·(θ_f − θ̂), which a Kalman filter with a constant bias and white noises settles
 * to; here with gains of our choice. The thigh angle is read off gravity and does not depend on the heading, which nothing corrects.
 *
 * An input that is no number leaves attitude and bias where they are, sets the rate to 0 and shows fault 1.
 */
export function attitudeTick(
  gains: AttitudeGains,
  state: Float64Array,
  gyro: Float64Array,
  force: Float64Array,
  at: number,
  dt: number,
): void {
  const a = ATTITUDE.attitude;
  const b = ATTITUDE.bias;
  const w = ATTITUDE.before;
  const x = gyro[at];
  const y = gyro[at + 1];
  const z = gyro[at + 2];
  const fx = force[at] / GRAVITY;
  const fy = force[at + 1] / GRAVITY;
  const fz = force[at + 2] / GRAVITY;
  if (!Number.isFinite(x + y + z + fx + fy + fz)) {
    state[ATTITUDE.fault] = 1;
    state[ATTITUDE.thighRate] = 0;
    return;
  }
  state[ATTITUDE.fault] = 0;
  const ox = 0.5 * (x + state[w]) - state[b];
  const oy = 0.5 * (y + state[w + 1]) - state[b + 1];
  const oz = 0.5 * (z + state[w + 2]) - state[b + 2];
  turnBy(state, a, ox, oy, oz, dt);
  const q0 = state[a];
  const q1 = state[a + 1];
  const q2 = state[a + 2];
  const q3 = state[a + 3];
  const vx = 2 * (q1 * q3 - q0 * q2);
  const vy = 2 * (q2 * q3 + q0 * q1);
  const vz = 1 - 2 * (q1 * q1 + q2 * q2);
  const ex = fy * vz - fz * vy;
  const ey = fz * vx - fx * vz;
  const ez = fx * vy - fy * vx;
  turnBy(state, a, gains.angle * ex, gains.angle * ey, gains.angle * ez, dt);
  state[b] -= gains.bias * ex * dt;
  state[b + 1] -= gains.bias * ey * dt;
  state[b + 2] -= gains.bias * ez * dt;
  state[w] = x;
  state[w + 1] = y;
  state[w + 2] = z;
  const p0 = state[a];
  const p1 = state[a + 1];
  const p2 = state[a + 2];
  const p3 = state[a + 3];
  state[ATTITUDE.thigh] = Math.atan2(2 * (p1 * p3 - p0 * p2), 1 - 2 * (p1 * p1 + p2 * p2));
  state[ATTITUDE.thighRate] = state[b + 1] - y;
}
