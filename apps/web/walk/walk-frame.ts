import {
  type LegSegments,
  type PosedStride,
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

/** What of a walk is to be drawn. */
interface Extent extends Pick<WalkFrame, 'poses' | 'over' | 'level' | 'stretch'> {
  /** m that the axis spans, and below which it would be too short to be read. */
  readonly length: number;
  readonly shortest: number;
}

/** px over the hip and under the ground. */
const HEAD = 22;
const FOOT = 44;
/** px from the ground to the hip at most, and as a share of the width: the drawing has one height at a width, whatever walks, so that nothing moves when a walk comes. Our choice: hip, ground, controls and the rule’s first scales then fit a screen 900 px high. */
const TALL = { most: 320, share: 0.5 };
/** Share of a stride's length that fills the axis where a stumble is shorter still. Our choice. */
const SHORTEST = 0.6;
/** m: a hip that goes no further stands still, and the hairline goes by time alone. Our choice. */
const STILL = 0.1;
/** px of a metre below which a leg is too small to be read: of a way told as a whole a piece is then seen, so many metres long. Our choice. */
const LEGIBLE = { scale: 200, seen: 1.9 };
/** m of ground that is drawn behind the hip at contact and ahead of where the axis ends, and on a phone. */
const GROUND = { behind: 0.16, ahead: 0.5, narrow: 0.4 };

/** A stride of a walk, or all of a stretch. */
export function walkFrame(
  available: number,
  record: WalkRecord,
  segments: LegSegments,
  range: StrideRange,
  ticks: number,
): WalkFrame {
  const poses = [];
  for (let percent = 0; percent <= 100; percent += APART) {
    const row = range.from + Math.round((percent * ticks) / 100);
    if (row >= record.log.rows || row > range.to) break;
    poses.push({ percent, pose: walkPose(record, segments, range, row) });
  }
  // a stride that does not keep its pace is as long as it went, one that ended early as long as it would have been
  const whole = (poses.at(-1)?.percent ?? 0) >= 100 - APART;
  const way = Math.max(0, ...poses.map(({ pose }) => pose.hip.x));
  return frameAround(available, {
    ...{ poses, over: walkGround(record, range), level: record.terrain === undefined },
    stretch: record.log.stretch === true,
    length: whole ? way : (record.hip.strideLength * ticks * record.log.period) / record.log.strideTime,
    shortest: SHORTEST * record.hip.strideLength,
  });
}

/** The stride that is walked, before any walk of it: the same frame, on the level. */
export function strideFrame(available: number, length: number, posed: PosedStride | undefined): WalkFrame {
  const { poses: legs, hipHeight } = posed ?? { poses: [], hipHeight: [] };
  const last = legs.length - 1;
  const poses = Array.from({ length: last < 0 ? 0 : 1 + 100 / APART }, (_, k) => {
    const percent = APART * k;
    const sample = Math.round((percent * last) / 100);
    const [leg, hip] = [legs[sample]!, { x: (length * percent) / 100, z: hipHeight[sample]! }];
    return { percent, pose: { hip, leg, ownHip: hip, ownLeg: leg } };
  });
  return frameAround(available, {
    ...{ poses, length, shortest: length },
    ...{ over: () => 0, level: true, stretch: false },
  });
}

function frameAround(available: number, extent: Extent): WalkFrame {
  const { poses, over, level, stretch, length, shortest } = extent;
  const rule = frameFor(available, [], false);
  const { narrow } = rule;
  let [far, near, high] = [0, 0, 0];
  for (const { pose } of poses) {
    high = Math.max(high, pose.hip.z, Number.isNaN(pose.ownHip.z) ? 0 : pose.ownHip.z);
    for (const { x } of [...pose.leg.sole, pose.leg.knee]) {
      far = Math.max(far, pose.hip.x + x);
      near = Math.min(near, pose.hip.x + x);
    }
  }
  const ahead = narrow ? GROUND.narrow : GROUND.ahead;
  let low = 0;
  for (let x = -GROUND.behind; !level && x <= length + ahead; x += 0.01) low = Math.min(low, over(x));
  // a leg that hangs in one place has all of its swing on the paper
  const behind = length < STILL ? -near : 0;
  const start = narrow ? 8 : rule.x0;
  const room = available - start - 6;
  const tall = Math.min(TALL.most, Math.round(TALL.share * available));
  const across = Math.min(rule.axis / Math.max(length, shortest), room / (behind + Math.max(far, length)));
  const follows = stretch && across < LEGIBLE.scale;
  const scale = Math.min(follows ? room / LEGIBLE.seen : across, tall / (high - low));
  const x0 = start + behind * scale;
  const foot = HEAD + tall;
  const ground = Math.round(foot + low * scale);
  const axis = follows ? rule.axis : length < STILL ? Math.max(far, shortest) * scale : length * scale;
  const end = x0 + (follows ? length * scale : axis) + ahead * scale;
  return {
    ...{ narrow, width: available, x0, ground, scale, poses, over, level, stretch, foot, axis },
    height: foot + FOOT,
    left: narrow ? 0 : x0 - GROUND.behind * scale,
    right: follows ? end : Math.min(available - 4, end),
    whole: follows ? Math.ceil(end) + 4 : available,
  };
}
