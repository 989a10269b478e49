import { WALK, WALK_STATUS, type WalkMap, walkState, walkTick } from '../control/walk-estimate.ts';
import { taskStride } from '../gait/demand.ts';
import type { LegSegments } from '../gait/stride.ts';
import type { StrideTask } from '../gait/task.ts';
import type { StudyInput } from './study-input.ts';
import { type WalkedStride, walkedCourse, walkedStride } from './walked-course.ts';

type Open = { readonly openBecause: string };

/** A stride that the estimate can be tried on, with the speed that it has on this wearer's leg. */
export interface TriedWalk {
  readonly task: StrideTask;
  readonly walked: WalkedStride;
  /** m/s */
  readonly speed: number;
}

/** Speeds that a line needs, so that it is more than two points joined. */
const LEAST_SPEEDS = 3;
/** What the estimates of the study's own walking may be missed by before a speed counts as untried: a twentieth. Our choice. */
const BEYOND = 0.05;
/** Steepest slope that is tried here, rad: 10°. Our choice: `walkEstimate` looks at slopes up to 9°. */
const STEEPEST = Math.PI / 18;

/**
 * A walking task as the estimate meets it. The published stride on a leg of another length goes as much faster as the leg is longer:
 * stature stands for it. A stride that was made for a speed has that speed.
 */
export function triedWalk(input: StudyInput, task: StrideTask): TriedWalk | Open {
  const { stride } = taskStride(task, input.strides, input.wearer);
  if (stride.activity !== 'level walking' && stride.activity !== 'recorded')
    return { openBecause: `${stride.activity} is no level walking` };
  if (stride.incline !== undefined && stride.incline !== 0)
    return { openBecause: 'its stride was walked on a slope, and this is level walking' };
  const walked = walkedStride(stride);
  if ('openBecause' in walked) return walked;
  if (stride.speed === undefined) return { openBecause: 'the speed of its stride is not known' };
  if (task.speed !== undefined) return { task, walked, speed: stride.speed };
  const { height } = stride.people;
  if (height === undefined)
    return { openBecause: 'the stature of the people it was measured on is not known' };
  return { task, walked, speed: (stride.speed * input.wearer.height) / height };
}

/** All of the leg's geometry, and nothing refused: what the map is made with. */
const bareMap = ({ thighLength, shank, sole }: LegSegments): WalkMap => ({
  thigh: thighLength,
  shank: shank.length,
  sole: Float64Array.from(sole.flatMap(({ x, z }) => [x, z])),
  flat: { pitch: 0, perSpeed: 0, centre: 0 },
  speeds: { from: Number.NEGATIVE_INFINITY, to: Number.POSITIVE_INFINITY },
  inclines: { from: Number.NEGATIVE_INFINITY, to: Number.POSITIVE_INFINITY },
});

/** What the estimate says of one stride with every angle known: speed, m/s, and pitch of the flat foot, rad. */
function readBare(map: WalkMap, walked: WalkedStride, dt: number): { speed: number; pitch: number } | Open {
  const { motion, knee, ankle, loaded } = walkedCourse(walked, 3, dt);
  const state = walkState();
  for (let k = 0; k < knee.length; k++)
    walkTick(map, state, loaded[k] === 1, motion.angle[k], knee[k], ankle[k], dt);
  if (state[WALK.status] !== WALK_STATUS.read) return { openBecause: 'its foot never lies flat' };
  return { speed: state[WALK.speed], pitch: state[WALK.incline] };
}

/**
 * m/s that the leg reads of this walk with every angle known. It is some per cent more than the walk's own speed, since over a stance, both
 * double supports in it, a hip goes a little faster than over a stride.
 */
export function readSpeed(input: StudyInput, of: TriedWalk, dt: number): number | Open {
  const read = readBare(bareMap(input.leg.segments), of.walked, dt);
  return 'openBecause' in read ? read : read.speed;
}

/**
 * What the leg would carry for this walk. Where the task belongs to the study's level walking at three speeds or more: the flat
 * foot's pitch as a straight line over speed, through all of them, and their speeds as the hull. A recorded stride: its own pitch, and
 * the same hull. All angles known: what a sensor adds comes on top.
 */
export function walkMap(input: StudyInput, of: TriedWalk, dt: number): WalkMap | Open {
  const bare = bareMap(input.leg.segments);
  if (bare.sole.length < 4)
    return { openBecause: 'the leg file has no sole to roll over: add points to `sole` under `foot`' };
  const known: { speed: number; pitch: number }[] = [];
  for (const task of input.tasks) {
    if (task.kind !== 'stride') continue;
    const walk = triedWalk(input, task);
    if ('openBecause' in walk || walk.walked.stride.activity !== 'level walking') continue;
    const read = readBare(bare, walk.walked, dt);
    if (!('openBecause' in read)) known.push(read);
  }
  if (known.length < LEAST_SPEEDS)
    return {
      openBecause: `the study has level walking with all angles at ${known.length} speeds, and a hull needs ${LEAST_SPEEDS}`,
    };
  const speeds = known.map(({ speed }) => speed);
  const hull = {
    speeds: { from: (1 - BEYOND) * Math.min(...speeds), to: (1 + BEYOND) * Math.max(...speeds) },
    inclines: { from: -STEEPEST, to: STEEPEST },
  };
  if (of.walked.stride.activity === 'recorded') {
    const own = readBare(bare, of.walked, dt);
    return 'openBecause' in own
      ? own
      : { ...bare, ...hull, flat: { pitch: own.pitch, perSpeed: 0, centre: 0 } };
  }
  const centre = speeds.reduce((sum, speed) => sum + speed, 0) / speeds.length;
  const pitch = known.reduce((sum, each) => sum + each.pitch, 0) / known.length;
  const square = speeds.reduce((sum, speed) => sum + (speed - centre) ** 2, 0);
  if (!(square > 0)) return { openBecause: 'all level walking of the study goes at one speed' };
  const perSpeed =
    known.reduce((sum, each) => sum + (each.speed - centre) * (each.pitch - pitch), 0) / square;
  return { ...bare, ...hull, flat: { pitch, perSpeed, centre } };
}
