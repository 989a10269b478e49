import { curveAt } from '../gait/curve.ts';
import { type LegPose, legPose, type Point } from '../gait/pose.ts';
import type { LegSegments } from '../gait/stride.ts';
import { type HipCourse, hipCourseAt } from './hip-course.ts';
import type { StrideRange } from './stride-ranges.ts';
import { terrainOf } from './terrain.ts';
import { START } from './walk-course.ts';
import type { WalkRecord } from './walk-curves.ts';
import { LOG, LOG_WIDTH } from './walk-log.ts';

/** The walking leg at one row of its log, beside the stride that is walked. Hips m from where the hip was at contact and over the ground under it then, on the ground's own ruler. */
export interface WalkPose {
  readonly hip: Point;
  readonly leg: LegPose;
  readonly ownHip: Point;
  readonly ownLeg: LegPose;
}

/**
 * Pose at a row of a stride, on a ruler that lies on the ground or on the belt:
 *
 *     x = L·Δp + ξ(s) − ξ(s_0),   z less the ground's height under the hip at contact
 *
 * L, ξ: length of the stride and what the hip goes beside an even pace, from its course; s: place in the stride; Δp: strides gone since contact,
 * whatever the pace. The reference stands at the same place with its own hip, so that its foot stands where the course was made for.
 */
export function walkPose(
  record: WalkRecord,
  segments: LegSegments,
  { from }: StrideRange,
  row: number,
): WalkPose {
  const { log, stride } = record;
  const y = (place: number): number => log.table[row * LOG_WIDTH + place];
  const x = hipWay(record, from, row);
  const under = groundUnder(record, from);
  const percent = 100 * y(LOG.place);
  const { knee, ankle } = stride.joints;
  const own = (curve: typeof stride.thigh): number =>
    curve === undefined ? Number.NaN : curveAt(curve, percent).value;
  return {
    hip: { x, z: y(LOG.height) - under },
    leg: legPose(segments, y(LOG.thigh), y(LOG.knee), y(LOG.ankle)),
    ownHip: { x, z: y(LOG.ownHeight) - under },
    ownLeg: legPose(segments, y(LOG.ownThigh), own(knee?.angle), own(ankle?.angle)),
  };
}

/** Height of the ground over what is under the hip at a stride's contact, m, at `x` m of that stride's ruler. */
export function walkGround(record: WalkRecord, { from }: StrideRange): (x: number) => number {
  const { terrain } = record;
  if (terrain === undefined) return () => 0;
  const { at } = terrainOf(terrain);
  const out = new Float64Array(2);
  const start = groundPlace(record, from);
  const height = (x: number): number => {
    at(x, out);
    return out[0];
  };
  const under = height(start);
  return (x) => height(start + x) - under;
}

/** m that the hip goes from one row of the log to a later one. */
function hipWay({ log: { table }, hip, way }: WalkRecord, from: number, to: number): number {
  if (way !== undefined) return way[to] - way[from];
  const place = (row: number): number => table[row * LOG_WIDTH + LOG.place];
  let begun = 0;
  for (let row = from + 1; row <= to; row++) if (place(row) < place(row - 1)) begun++;
  return (
    hip.strideLength * (begun + place(to) - place(from)) + beside(hip, place(to)) - beside(hip, place(from))
  );
}

/** ξ, m. */
function beside(hip: HipCourse, place: number): number {
  const out = new Float64Array(6);
  hipCourseAt(hip, place, 1, out);
  return out[3];
}

/** Where the hip is over the terrain's own ruler at a row, m: a walk begins at ξ of its first place. */
function groundPlace(record: WalkRecord, row: number): number {
  if (record.way !== undefined) return record.way[row];
  const first = record.log.table[LOG.place];
  return hipWay(record, 0, row) + record.hip.strideLength * (first - START) + beside(record.hip, first);
}

/** Height of the ground under the hip at a row, m. */
function groundUnder(record: WalkRecord, row: number): number {
  if (record.terrain === undefined) return 0;
  const out = new Float64Array(2);
  terrainOf(record.terrain).at(groundPlace(record, row), out);
  return out[0];
}
