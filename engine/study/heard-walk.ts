import { attitudeGains } from '../control/attitude.ts';
import { SENSOR_ERRORS, type SensorError, sensedThigh } from '../control/sensed-thigh.ts';
import { lackingOf, type WholeSensor, wholeSensor } from '../control/thigh-sensor.ts';
import type { StudyInput } from './study-input.ts';
import { type WalkedCourse, type WalkedStride, walkedCourse } from './walked-course.ts';

/** Time of the correction by the accelerometer, s. Our choice: longer gains little and learns a bias more slowly. */
export const CORRECTION_TIME = 8;
/** Times of the correction after which a walk is looked at: what is left of how it began is then e⁻⁵·6, a twenty-fifth. */
const SETTLING = 5;
const SEED = 1;

/** The leg's sensor, whole, or what its leg file lacks. */
export function sensorOf(input: StudyInput): WholeSensor | { readonly openBecause: string } {
  const { thighSensor } = input.leg;
  if (thighSensor === undefined)
    return { openBecause: 'the leg file has no thigh sensor: add `thighSensor`' };
  const lacks = lackingOf(thighSensor);
  if (lacks.length > 0)
    return {
      openBecause: `the leg file does not say enough of what reads the thigh: add ${lacks.map((key) => `\`${key}\``).join(', ')} under \`thighSensor\``,
    };
  return wholeSensor(thighSensor);
}

/** What of the leg changes what its sensor reads and what is made of it: part of the key under which a result is remembered. */
export const sensorKey = ({ leg }: StudyInput): string =>
  JSON.stringify([leg.thighSensor, leg.segments.thighLength, leg.segments.shank.length, leg.segments.sole]);

/** A walk as its thigh sensor reads it, at any time from its beginning, s. */
export interface HeardWalk {
  /** Strides gone before it is looked at. */
  readonly settled: number;
  /** rad and rad/s, as a tick at this time reads them. */
  readonly angle: (t: number) => number;
  readonly rate: (t: number) => number;
}

/**
 * `strides` strides, after as many as the filter needs to settle, with these errors of the sensor; with `to` one stride that passes
 * over and `strides` of that. With `delay` a tick reads the newest sample that has arrived, without it the thigh of that very instant.
 */
export function heardWalk(
  sensor: WholeSensor,
  from: WalkedStride,
  strides: number,
  {
    errors = SENSOR_ERRORS,
    time = CORRECTION_TIME,
    side = 1,
    to,
  }: {
    readonly errors?: readonly SensorError[];
    readonly time?: number;
    readonly side?: 1 | -1;
    readonly to?: WalkedStride;
  } = {},
): HeardWalk {
  const settled = Math.ceil((SETTLING * time) / from.stride.strideTime);
  const before = to === undefined ? settled + strides : settled;
  const { motion } = courseOf(from, before, 1 / sensor.rate, to, strides);
  const heard = sensedThigh(sensor, motion, errors, attitudeGains(time), SEED, side);
  const delayed = errors.includes('delay');
  const last = motion.angle.length - 2;
  const reader = (samples: Float64Array) => (t: number) => {
    const at = (delayed ? t - sensor.delay : t) * sensor.rate + 1e-6;
    const i = Math.min(Math.max(Math.floor(at), 0), last);
    return delayed ? samples[i] : samples[i] + (at - i) * (samples[i + 1] - samples[i]);
  };
  return { settled, angle: reader(heard.angle), rate: reader(heard.rate) };
}

/** Courses by the stride they begin with: one task's walk is laid out once for all its errors. */
const courses = new WeakMap<WalkedStride, Map<string, WalkedCourse>>();

function courseOf(
  from: WalkedStride,
  before: number,
  dt: number,
  to: WalkedStride | undefined,
  more: number,
): WalkedCourse {
  if (to !== undefined) return walkedCourse(from, before, dt, to, more);
  const of = courses.get(from) ?? new Map<string, WalkedCourse>();
  courses.set(from, of);
  const key = `${before} ${dt}`;
  const known = of.get(key) ?? walkedCourse(from, before, dt);
  of.set(key, known);
  return known;
}
