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

/** What is told of one joint, rad, N·m, W, A: over a stride, or at an instant. */
export interface WalkedJoint<Of = Float64Array> {
  readonly angle: Of;
  /** Where the controller leads it in swing; NaN in stance. */
  readonly target: Of;
  /** What the stride that is walked does at the same instant. */
  readonly own: Of;
  readonly torque: Of;
  readonly asked: Of;
  /** τ·θ̇ of what is delivered; > 0: the joint gives. */
  readonly power: Of;
  readonly current: Of;
}

/** What is told of a walk, SI units, engine signs: over a stride, or at an instant. */
export interface WalkedQuantities<Of> {
  readonly knee: WalkedJoint<Of>;
  readonly ankle: WalkedJoint<Of>;
  readonly thigh: Of;
  readonly ownThigh: Of;
  /** On the thigh by the wearer, and of the stride that is walked, N·m. */
  readonly hipMoment: Of;
  readonly ownHipMoment: Of;
  /** On the foot, and of the stride that is walked, N. */
  readonly up: Of;
  readonly forward: Of;
  readonly ownUp: Of;
  readonly ownForward: Of;
  /** Lowest sole point ahead of the ankle over the ground, m. */
  readonly forefoot: Of;
}

/** One row of a walk's log. */
export type WalkInstant = WalkedQuantities<number>;

/** Places of one stretch, which lasts many times as long as a stride: one each 20 ms of 20 s, half per cents among them. Our choice. */
const STRETCH_SAMPLES = 1001;

/** One stride of a walk at STRIDE_SAMPLES places from contact to contact, or one stretch at STRETCH_SAMPLES; NaN beyond the end of one that fell. */
export interface WalkCurves extends WalkedQuantities<Float64Array> {
  /** s from contact to contact; of a stride that fell, of the stride it was to be, or as long as it stood where that is longer. */
  readonly duration: number;
  /** Share of it at which the foot leaves the ground; 1 where it fell before. */
  readonly stance: number;
}

/**
 * A stride of the log for the eye: each sample is the row of the log that is nearest to its place, so that an instant is the same wherever it is
 * read, beside the stride that is walked at that row. `lasts`: s that the curves are to span, so that one stretch can be laid over another; left
 * out: all of it.
 */
export function walkCurves(record: WalkRecord, range: StrideRange, lasts?: number): WalkCurves {
  const { log } = record;
  const { period, strideTime } = log;
  const { from, to, lifted, whole } = range;
  const length =
    lasts !== undefined ? lasts / period : whole ? to - from : Math.max(to - from, strideTime / period);
  const samples = log.stretch ? STRETCH_SAMPLES : STRIDE_SAMPLES;
  const last = whole ? to : to - 1;
  return {
    duration: length * period,
    stance: whole || lifted < to ? (lifted - from) / length : 1,
    ...quantitiesOf(record, sampled),
  };

  function sampled(value: (row: number) => number): Float64Array {
    const out = new Float64Array(samples).fill(Number.NaN);
    for (let i = 0; i < samples; i++) {
      const at = from + (length * i) / (samples - 1);
      // the last contact of a log may be its last row
      if (at <= last) out[i] = value(Math.min(Math.round(at), log.rows - 1));
    }
    return out;
  }
}

/** The same quantities at one row of the log, as it stands there: what is read of an instant is read here. */
export const walkInstant = (record: WalkRecord, row: number): WalkInstant =>
  quantitiesOf(record, (value) => value(row));

/** Every quantity by its value at a row. */
function quantitiesOf<Of>(
  { log: { table }, stride, weight, mass }: WalkRecord,
  told: (value: (row: number) => number) => Of,
): WalkedQuantities<Of> {
  const y = (row: number, place: number): number => table[row * LOG_WIDTH + place];
  const of = (place: number): Of => told((row) => y(row, place));
  const own = (curve: Stride['thigh'], scale = 1): Of =>
    told((row) => (curve === undefined ? Number.NaN : scale * curveAt(curve, 100 * y(row, LOG.place)).value));
  const joint = (name: 'knee' | 'ankle'): WalkedJoint<Of> => ({
    angle: of(LOG[name]),
    target: of(LOG[`${name}Target`]),
    own: own(stride.joints[name]?.angle),
    torque: of(LOG[`${name}Torque`]),
    asked: of(LOG[`${name}Asked`]),
    power: told((row) => y(row, LOG[`${name}Torque`]) * y(row, LOG[`${name}Rate`])),
    current: of(LOG[`${name}Current`]),
  });
  return {
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
}
