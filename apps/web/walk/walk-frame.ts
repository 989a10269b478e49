import {
  type LegSegments,
  type StrideRange,
  type WalkPose,
  type WalkRecord,
  walkGround,
  walkPose,
} from '@striderule/engine';
import { frameFor } from '../rule/frame.ts';

/** One pose of the leg that is drawn thin, per cent of the stride apart. */
const APART = 2;

/**
 * Where the walk is drawn, px: one stride to scale, as long as the rule's axis where there is room for the foot beyond it. A way that is too
 * long for that goes by under the leg, and along the axis lies its time alone.
 */
export interface WalkFrame {
  readonly narrow: boolean;
  readonly width: number;
  readonly height: number;
  /** y of the ruler. */
  readonly foot: number;
  /** x of the hip at contact, y of the ground under it then, px of a metre and of the whole stride. */
  readonly x0: number;
  readonly ground: number;
  readonly scale: number;
  readonly axis: number;
  /** Ends of the ground that is drawn. */
  readonly left: number;
  readonly right: number;
  /** px that all of it takes: more than `width` where a long way is seen piece by piece, around the leg. */
  readonly whole: number;
  /** Height of the ground, m, at m from where the hip was at contact; and whether it is level. */
  readonly over: (x: number) => number;
  readonly level: boolean;
  /** Told as a whole: it ends where it stands, and names at its end would lie over it. */
  readonly stretch: boolean;
  /** Poses every two per cent, as far as the stride goes, and their places. */
  readonly poses: readonly { readonly percent: number; readonly pose: WalkPose }[];
}

const HEAD = 30;
const FOOT = 44;
/** Share of a stride's length that fills the axis where a stumble is shorter still. Our choice. */
const SHORTEST = 0.6;
/** m: a hip that goes no further stands still, and the hairline goes by time alone. Our choice. */
const STILL = 0.1;
/** px of a metre below which a leg is too small to be read: of a way told as a whole a piece is then seen, so many metres long. Our choice. */
const LEGIBLE = { scale: 130, seen: 1.9 };
/** px that the numbers of the tick take beside the picture, and from which width on they stand there (walk.css). */
const ASIDE = { width: 276, from: 1300 };

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
  const over = walkGround(record, range);
  let [far, near, high, way] = [0, 0, 0, 0];
  for (const { pose } of poses) {
    high = Math.max(high, pose.hip.z, pose.ownHip.z);
    way = Math.max(way, pose.hip.x);
    for (const { x } of [...pose.leg.sole, pose.leg.knee]) {
      far = Math.max(far, pose.hip.x + x);
      near = Math.min(near, pose.hip.x + x);
    }
  }
  // a stride that does not keep its pace is as long as it went, one that ended early as long as it would have been
  const whole = (poses.at(-1)?.percent ?? 0) >= 100 - APART;
  const length = whole ? way : (record.hip.strideLength * ticks * record.log.period) / record.log.strideTime;
  const shortest = SHORTEST * record.hip.strideLength;
  // a leg that hangs in one place has all of its swing on the paper
  const behind = length < STILL ? -near : 0;
  const start = rule.narrow ? 8 : rule.x0;
  const room = available - start - (available < ASIDE.from ? 6 : ASIDE.width);
  const fits = Math.min(rule.axis / Math.max(length, shortest), room / (behind + Math.max(far, length)));
  const follows = record.log.stretch === true && fits < LEGIBLE.scale;
  const scale = follows ? room / LEGIBLE.seen : fits;
  const x0 = start + behind * scale;
  const ground = Math.ceil(HEAD + high * scale);
  const axis = follows ? rule.axis : length < STILL ? Math.max(far, shortest) * scale : length * scale;
  const [left, right] = rule.narrow ? [0, 0.4] : [x0 - 60, 0.5];
  const end = x0 + (follows ? length * scale : axis) + right * scale;
  const ends = { left, right: follows ? end : Math.min(available - 4, end) };
  let low = 0;
  for (let x = ends.left; x <= ends.right; x += 4) low = Math.min(low, over((x - x0) / scale));
  const foot = Math.ceil(ground - low * scale);
  return {
    ...{ narrow: rule.narrow, width: available, x0, ground, scale, poses, over },
    level: record.terrain === undefined,
    stretch: record.log.stretch === true,
    foot,
    height: foot + FOOT,
    ...{ axis, ...ends, whole: follows ? Math.ceil(end) + 4 : available },
  };
}
