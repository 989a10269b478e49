import { GRAVITY } from '../gait/inverse-dynamics.ts';
import { randomStream } from '../numeric/random.ts';
import { ATTITUDE, type AttitudeGains, attitudeState, attitudeTick } from './attitude.ts';
import { rotationMatrix, turnBy } from './quaternion.ts';
import { softSway } from './soft-mounting.ts';
import type { WholeSensor } from './thigh-sensor.ts';

/** The thigh and its hip, sample by sample, `dt` s apart: rad, rad/s, rad/s²; acceleration of the hip in the world, m/s². */
export interface ThighMotion {
  readonly angle: Float64Array;
  readonly rate: Float64Array;
  readonly acceleration: Float64Array;
  readonly hipX: Float64Array;
  readonly hipZ: Float64Array;
  readonly dt: number;
}

/** Where the error of a sensed thigh comes from. */
export const SENSOR_ERRORS = [
  'gyro noise',
  'accelerometer noise',
  'gyro bias',
  'gyro drift',
  'accelerometer bias',
  'mounting pose',
  'soft mounting',
  'acceleration',
  'delay',
] as const;

/** One of them. */
export type SensorError = (typeof SENSOR_ERRORS)[number];

/** What the controller reads of the thigh at each of its ticks: rad, rad/s. */
export interface SensedThigh {
  readonly angle: Float64Array;
  readonly rate: Float64Array;
}

/**
 * What a sensor reads of this motion, through the attitude filter, with only the errors that are named.
 *
 *     ω_S = M·(0, −θ̇_s, 0) + bias + drift·t/60 + noise,   f_S = M·R(θ_s)ᵀ·(a − g) + bias + noise
 *     a = a_hip + θ̈ × r − θ̇²·r,   θ_s = θ + sway,   r: sensor from the hip, in the world
 *
 * M: mounting pose. The controller turns both back by the pose that the leg file states; `mounting pose` turns the true one away from
 * it by `poseError` about each axis. Without `acceleration` the accelerometer sees gravity alone, as no accelerometer on a moving leg
 * does. Bias, drift and pose are off by as much as the leg file says, all to one `side`, on all axes. The filter begins in a leg that has
 * stood still: attitude by its accelerometer, bias by its gyro. Noise by `seed`, the same draws whichever errors are named.
 */
export function sensedThigh(
  sensor: WholeSensor,
  motion: ThighMotion,
  errors: readonly SensorError[],
  gains: AttitudeGains,
  seed: number,
  side: 1 | -1 = 1,
): SensedThigh {
  const { dt } = motion;
  const n = motion.angle.length;
  const has = (error: SensorError): number => (errors.includes(error) ? 1 : 0);
  const soft = errors.includes('soft mounting')
    ? softSway(sensor.mounting, motion.acceleration, dt)
    : undefined;
  const [moving, bias, drift] = [
    has('acceleration'),
    side * has('gyro bias') * sensor.bias,
    (side * has('gyro drift') * sensor.drift) / 60,
  ];
  const [gyroNoise, forceNoise] = [
    has('gyro noise') * sensor.gyroNoise,
    has('accelerometer noise') * sensor.accelerometerNoise,
  ];
  const forceBias = side * has('accelerometer bias') * sensor.accelerometerBias;
  const stated = mounted(sensor, 0);
  const back = product(transposed(stated), mounted(sensor, side * has('mounting pose') * sensor.poseError));
  const random = randomStream(seed);
  const heard = { angle: new Float64Array(n), rate: new Float64Array(n) };
  const gyro = new Float64Array(3);
  const force = new Float64Array(3);
  const [rx, rz] = [sensor.position.x, sensor.position.z];
  const [s0, c0] = [Math.sin(motion.angle[0]), Math.cos(motion.angle[0])];
  for (let i = 0; i < 3; i++) {
    const own = stated[i] + stated[3 + i] + stated[6 + i];
    gyro[i] = own * bias;
    force[i] = GRAVITY * (back[3 * i] * s0 + back[3 * i + 2] * c0) + own * forceBias;
  }
  const state = attitudeState(force, gyro);
  for (let k = 0; k < n; k++) {
    // the housing is carried along by the thigh, and sways about itself
    const carry = motion.rate[k];
    const spin = motion.acceleration[k];
    const c = Math.cos(motion.angle[k]);
    const s = Math.sin(motion.angle[k]);
    const x = rx * c - rz * s;
    const z = rx * s + rz * c;
    const ax = moving * (motion.hipX[k] - spin * z - carry * carry * x);
    const az = moving * (motion.hipZ[k] + spin * x - carry * carry * z) + GRAVITY;
    const angle = motion.angle[k] + (soft === undefined ? 0 : soft.angle[k]);
    const rate = carry + (soft === undefined ? 0 : soft.rate[k]);
    const cs = Math.cos(angle);
    const ss = Math.sin(angle);
    const bx = ax * cs + az * ss;
    const bz = -ax * ss + az * cs;
    const off = bias + drift * k * dt;
    // M of the body's vectors, its own errors in its own axes, and back by the stated pose: back = Mˢᵗᵃᵗᵉᵈᵀ·M
    const g0 = off + gyroNoise * random.normal();
    const g1 = off + gyroNoise * random.normal();
    const g2 = off + gyroNoise * random.normal();
    const f0 = forceBias + forceNoise * random.normal();
    const f1 = forceBias + forceNoise * random.normal();
    const f2 = forceBias + forceNoise * random.normal();
    for (let i = 0; i < 3; i++) {
      gyro[i] = -back[3 * i + 1] * rate + stated[i] * g0 + stated[3 + i] * g1 + stated[6 + i] * g2;
      force[i] =
        back[3 * i] * bx + back[3 * i + 2] * bz + stated[i] * f0 + stated[3 + i] * f1 + stated[6 + i] * f2;
    }
    attitudeTick(gains, state, gyro, force, 0, k === 0 ? 0 : dt);
    heard.angle[k] = state[ATTITUDE.thigh];
    heard.rate[k] = state[ATTITUDE.thighRate];
  }
  return heard;
}

/** Body to sensor, row by row: the pose turned on by `off` about each of its axes. */
function mounted({ angle, roll, turn }: WholeSensor, off: number): Float64Array {
  const q = Float64Array.of(1, 0, 0, 0);
  turnBy(q, 0, 0, -angle, 0, 1);
  turnBy(q, 0, roll, 0, 0, 1);
  turnBy(q, 0, 0, 0, turn, 1);
  turnBy(q, 0, off, -off, off, 1);
  return transposed(rotationMatrix(q, 0, new Float64Array(9)));
}

const transposed = (m: Float64Array): Float64Array =>
  Float64Array.of(m[0], m[3], m[6], m[1], m[4], m[7], m[2], m[5], m[8]);

function product(a: Float64Array, b: Float64Array): Float64Array {
  const c = new Float64Array(9);
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++)
      c[3 * i + j] = a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j];
  return c;
}
