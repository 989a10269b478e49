import { curveAt } from '../gait/curve.ts';
import { type LegPose, legPose, type Point } from '../gait/pose.ts';
import type { LegSegments } from '../gait/stride.ts';
import { hipCourseAt } from './hip-course.ts';
import type { StrideRange } from './stride-ranges.ts';
import type { WalkRecord } from './walk-curves.ts';
import { LOG, LOG_WIDTH } from './walk-log.ts';

/** The walking leg at one row of its log, beside the stride that is walked. Hips m from where the hip was at contact, over the ground's own ruler. */
export interface WalkPose {
  readonly hip: Point;
  readonly leg: LegPose;
  readonly ownHip: Point;
  readonly ownLeg: LegPose;
}

/**
 * Pose at a row of a stride, on a ruler that lies on the ground or on the belt:
 *
 *     x = L·(t − t_0)/T + ξ(s) − ξ(s_0)
 *
 * L, ξ: length of the stride and what the hip goes beside an even pace, from its course; s: place in the stride. The reference stands at
 * the same place with its own hip, so that its foot stands where the course was made for.
 */
export function walkPose(
  record: WalkRecord,
  segments: LegSegments,
  { from }: StrideRange,
  row: number,
): WalkPose {
  const { log, hip, stride } = record;
  const y = (at: number, place: number): number => log.table[at * LOG_WIDTH + place];
  const x = (hip.strideLength * (row - from) * log.period) / log.strideTime + beside(row) - beside(from);
  const percent = 100 * y(row, LOG.place);
  const { knee, ankle } = stride.joints;
  const own = (curve: typeof stride.thigh): number =>
    curve === undefined ? Number.NaN : curveAt(curve, percent).value;
  return {
    hip: { x, z: y(row, LOG.height) },
    leg: legPose(segments, y(row, LOG.thigh), y(row, LOG.knee), y(row, LOG.ankle)),
    ownHip: { x, z: y(row, LOG.ownHeight) },
    ownLeg: legPose(segments, y(row, LOG.ownThigh), own(knee?.angle), own(ankle?.angle)),
  };

  function beside(at: number): number {
    const out = new Float64Array(6);
    hipCourseAt(hip, y(at, LOG.place), 1, out);
    return out[3];
  }
}
