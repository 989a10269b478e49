import { curveAt } from '../gait/curve.ts';
import { STRIDE_SAMPLES } from '../gait/demand-result.ts';
import type { Stride } from '../gait/stride.ts';
import type { HipCourse } from './hip-course.ts';
import type { StrideRange } from './stride-ranges.ts';
import type { TerrainShape } from './terrain.ts';
import { LOG, LOG_WIDTH, type WalkLog } from './walk-log.ts';

/** A walk's log with what it was walked after: plain data, which can be sent. */
export interface WalkRecord {
  readonly log: WalkLog;
  /** The stride that course, other leg and schedules were made of. */
  readonly stride: Stride;
  readonly hip: HipCourse;
  /** m ahead of where the hip began, row by row; left out: it goes as `hip` says. */
  readonly way?: Float64Array;
  /** N of wearer and leg; kg of the wearer. */
  readonly weight: number;
  readonly mass: number;
  /** Left out: level. */
  readonly terrain?: TerrainShape;
  /** s at which something goes wrong; left out: nothing does. */
  readonly wrongFrom?: number;
}

/** One joint over a stride: rad, N·m, W, A. */
export interface WalkedJoint {
  readonly angle: Float64Array;
  /** Where the controller leads it in swing; NaN in stance. */
  readonly target: Float64Array;
  /** What the stride that is walked does at the same instant. */
  readonly own: Float64Array;
  readonly torque: Float64Array;
  readonly asked: Float64Array;
  /** τ·θ̇ of what is delivered; > 0: the joint gives. */
  readonly power: Float64Array;
  readonly current: Float64Array;
}

/** Places of one stretch, which lasts many times as long as a stride: one each 20 ms of 20 s, half per cents among them. Our choice. */
const STRETCH_SAMPLES = 1001;

/** One stride of a walk at STRIDE_SAMPLES places from contact to contact, or one stretch at STRETCH_SAMPLES; SI units, engine signs; NaN beyond the end of one that fell. */
export interface WalkCurves {
  /** s from contact to contact; of a stride that fell, of the stride it was to be, or as long as it stood where that is longer. */
  readonly duration: number;
  /** Share of it at which the foot leaves the ground; 1 where it fell before. */
  readonly stance: number;
  readonly knee: WalkedJoint;
  readonly ankle: WalkedJoint;
  readonly thigh: Float64Array;
  readonly ownThigh: Float64Array;
  /** On the thigh by the wearer, and of the stride that is walked, N·m. */
  readonly hipMoment: Float64Array;
  readonly ownHipMoment: Float64Array;
  /** On the foot, and of the stride that is walked, N. */
  readonly up: Float64Array;
  readonly forward: Float64Array;
  readonly ownUp: Float64Array;
  readonly ownForward: Float64Array;
  /** Lowest sole point ahead of the ankle over the ground, m. */
  readonly forefoot: Float64Array;
}

/**
 * A stride of the log for the eye: straight lines between the rows, beside the stride that is walked at the same instant. `lasts`: s that the
 * curves are to span, so that one stretch can be laid over another; left out: all of it.
 */
export function walkCurves(record: WalkRecord, range: StrideRange, lasts?: number): WalkCurves {
  const { log, stride, weight, mass } = record;
  const { table, period, strideTime } = log;
  const { from, to, lifted, whole } = range;
  const length =
    lasts !== undefined ? lasts / period : whole ? to - from : Math.max(to - from, strideTime / period);
  const samples = log.stretch ? STRETCH_SAMPLES : STRIDE_SAMPLES;
  const last = whole ? to : to - 1;
  const of = (place: number): Float64Array => sampled((row) => table[row * LOG_WIDTH + place]);
  const product = (a: number, b: number): Float64Array =>
    sampled((row) => table[row * LOG_WIDTH + a] * table[row * LOG_WIDTH + b]);
  const place = sampled((row) => table[row * LOG_WIDTH + LOG.place], nearest);
  const own = (curve: Stride['thigh'], scale = 1): Float64Array =>
    place.map((s) => (curve === undefined ? Number.NaN : scale * curveAt(curve, 100 * s).value));
  const joint = (name: 'knee' | 'ankle'): WalkedJoint => ({
    angle: of(LOG[name]),
    target: of(LOG[`${name}Target`]),
    own: own(stride.joints[name]?.angle),
    torque: of(LOG[`${name}Torque`]),
    asked: of(LOG[`${name}Asked`]),
    power: product(LOG[`${name}Torque`], LOG[`${name}Rate`]),
    current: of(LOG[`${name}Current`]),
  });
  return {
    duration: length * period,
    stance: whole || lifted < to ? (lifted - from) / length : 1,
    knee: joint('knee'),
    ankle: joint('ankle'),
    thigh: of(LOG.thigh),
    ownThigh: of(LOG.ownThigh),
    hipMoment: of(LOG.hipTorque),
    ownHipMoment: own(stride.joints.hip?.moment, mass),
    up: of(LOG.up),
    forward: of(LOG.forward),
    ownUp: own(stride.groundForce?.vertical, weight),
    ownForward: own(stride.groundForce?.foreAft, weight),
    forefoot: of(LOG.forefoot),
  };

  function sampled(value: (row: number) => number, between = straight): Float64Array {
    const out = new Float64Array(samples).fill(Number.NaN);
    for (let i = 0; i < samples; i++) {
      const at = from + (length * i) / (samples - 1);
      // the last contact of a log may be its last row
      if (at <= last) out[i] = between(value, Math.min(at, log.rows - 1));
    }
    return out;
  }
}

const nearest = (value: (row: number) => number, at: number): number => value(Math.round(at));

function straight(value: (row: number) => number, at: number): number {
  const row = Math.floor(at);
  const share = at - row;
  return share === 0 ? value(row) : (1 - share) * value(row) + share * value(row + 1);
}
