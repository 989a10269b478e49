import {
  type LegSegments,
  type StrideRange,
  type WalkPose,
  type WalkRecord,
  walkPose,
} from '@striderule/engine';
import { frameFor } from '../rule/frame.ts';

/** One pose of the leg that is drawn thin, per cent of the stride apart. */
const APART = 2;

/** Where the walk is drawn, px: one stride to scale, as long as the rule's axis where there is room for the foot beyond it. */
export interface WalkFrame {
  readonly narrow: boolean;
  readonly width: number;
  readonly height: number;
  /** x of the hip at contact, y of the ground, px of a metre and of the whole stride. */
  readonly x0: number;
  readonly ground: number;
  readonly scale: number;
  readonly axis: number;
  /** Poses every two per cent, as far as the stride goes, and their places. */
  readonly poses: readonly { readonly percent: number; readonly pose: WalkPose }[];
}

const HEAD = 30;
const FOOT = 44;

export function walkFrame(
  available: number,
  record: WalkRecord,
  segments: LegSegments,
  range: StrideRange,
  ticks: number,
): WalkFrame {
  const rule = frameFor(available, [], false);
  const poses = [];
  for (let percent = 0; percent <= 100; percent += APART) {
    const row = range.from + Math.round((percent * ticks) / 100);
    if (row >= record.log.rows || row > range.to) break;
    poses.push({ percent, pose: walkPose(record, segments, range, row) });
  }
  let [far, high] = [0, 0];
  for (const { pose } of poses) {
    high = Math.max(high, pose.hip.z, pose.ownHip.z);
    for (const { x } of [...pose.leg.sole, pose.leg.knee]) far = Math.max(far, pose.hip.x + x);
  }
  const length = (record.hip.strideLength * ticks * record.log.period) / record.log.strideTime;
  const x0 = rule.narrow ? 8 : rule.x0;
  const scale = Math.min(rule.axis / length, (available - x0 - 6) / Math.max(far, length));
  const ground = Math.ceil(HEAD + high * scale);
  return {
    ...{ narrow: rule.narrow, width: available, height: ground + FOOT, x0, ground, scale, poses },
    axis: length * scale,
  };
}
