import { Fault } from '../quantity/fault.ts';

/** Gyro and accelerometer on the thigh part, SI. What is left out is not known. */
export interface ThighSensor {
  /** In the frame of the thigh part, from the hip, m: x forward, z up. */
  readonly position?: { readonly x: number; readonly z: number };
  /** How its axes stand against the thigh's, rad: about the axis to the left, the axis forward and the thigh's own axis, in this order. */
  readonly angle?: number;
  readonly roll?: number;
  readonly turn?: number;
  /** By how much the mounting may differ from these, about each axis, rad. */
  readonly poseError?: number;
  /** Samples a second. */
  readonly rate?: number;
  /** Standard deviation of one sample: rad/s, m/s². */
  readonly gyroNoise?: number;
  readonly accelerometerNoise?: number;
  /** Reading of a gyro at rest, rad/s, and by how much that wanders within a minute, rad/s. */
  readonly bias?: number;
  readonly drift?: number;
  /** Reading of an accelerometer that is too much, m/s². */
  readonly accelerometerBias?: number;
  /** s, of its filters and its bus. */
  readonly delay?: number;
  /** What lies between sensor and thigh, liner and socket: natural frequency, Hz, and damping ratio of the housing on it. */
  readonly mounting?: { readonly frequency: number; readonly damping: number };
}

/** Least rate of a thigh sensor, Hz, and its longest delay, s: a tenth of a quick stride and more is no delay of a sensor. Our choice. */
export const THIGH_SENSOR_LIMITS = { rate: 50, delay: 0.1 } as const;

const REQUIRED = [
  'position',
  'angle',
  'poseError',
  'rate',
  'gyroNoise',
  'accelerometerNoise',
  'bias',
  'drift',
  'accelerometerBias',
  'delay',
  'mounting',
] as const;

/** A sensor of which everything is known that an error budget asks for. */
export type WholeSensor = Required<ThighSensor>;

/** The fields that the budget lacks, by their names in the leg file. */
export const lackingOf = (sensor: ThighSensor): readonly string[] =>
  REQUIRED.filter((key) => sensor[key] === undefined);

/**
 * The sensor with all that a budget needs, `roll` and `turn` taken as none where they are left out.
 *
 * Faults: fewer than 50 samples a second, a delay of more than 0.1 s, a negative or missing number.
 */
export function wholeSensor(sensor: ThighSensor): WholeSensor {
  const lacks = lackingOf(sensor);
  const fault = (field: string, what: string, mend: string): Fault =>
    new Fault({
      code: 'control.thigh-sensor',
      what,
      mend,
      place: { path: `leg.thighSensor${field && `.${field}`}` },
    });
  if (lacks.length > 0)
    throw fault(
      '',
      `The thigh sensor has no ${lacks.join(', no ')}`,
      `Add ${lacks.map((key) => `\`${key}\``).join(', ')} under \`thighSensor\``,
    );
  const whole = { roll: 0, turn: 0, ...sensor } as WholeSensor;
  if (!(whole.rate >= THIGH_SENSOR_LIMITS.rate && Number.isFinite(whole.rate)))
    throw fault(
      'rate',
      `A thigh read ${whole.rate} times a second is too slow for a swing`,
      `Give at least ${THIGH_SENSOR_LIMITS.rate} Hz`,
    );
  if (!(whole.delay >= 0 && whole.delay <= THIGH_SENSOR_LIMITS.delay))
    throw fault(
      'delay',
      `A thigh read ${whole.delay} s late is no sensor's delay`,
      `Give 0 to ${THIGH_SENSOR_LIMITS.delay} s, and look at the unit`,
    );
  for (const key of [
    'gyroNoise',
    'accelerometerNoise',
    'bias',
    'drift',
    'accelerometerBias',
    'poseError',
  ] as const)
    if (!(whole[key] >= 0 && Number.isFinite(whole[key])))
      throw fault(key, `\`${key}\` of the thigh sensor is ${whole[key]}`, 'Give a size: a number from 0');
  const { frequency, damping } = whole.mounting;
  if (!(frequency > 0 && Number.isFinite(frequency) && damping >= 0 && Number.isFinite(damping)))
    throw fault(
      'mounting',
      `A mounting of ${frequency} Hz and a damping ratio of ${damping} is none`,
      'Give a frequency above 0 and a damping ratio from 0',
    );
  for (const part of [whole.position.x, whole.position.z, whole.angle, whole.roll, whole.turn])
    if (!Number.isFinite(part))
      throw fault('', 'The mounting pose of the thigh sensor is no number', 'Give position and angles');
  return whole;
}
