import { soleClearance } from '../control/sole-clearance.ts';
import { curveAt } from '../gait/curve.ts';
import { taskStride } from '../gait/demand.ts';
import { legPose } from '../gait/pose.ts';
import type { LegSegments, StrideCurve } from '../gait/stride.ts';
import type { StudyInput } from './study-input.ts';
import type { SwingFollow } from './swing-follow.ts';

/** The least height of the forefoot over the ground in the middle half of the swing, m. */
export interface SwingClearance {
  readonly commanded: number;
  /** The same with the stride's own knee and ankle: the difference is the controller's. */
  readonly own: number;
  /** Share of the stride where the commanded one is least, and how far ahead of the ankle that sole point lies, m. */
  readonly place: number;
  readonly ahead: number;
  /** m/rad there. */
  readonly perThigh: number;
  readonly perKnee: number;
  readonly perAnkle: number;
}

type Open = { readonly openBecause: string };

// By the swing, which is the same record while strides, wearer, period and delays are, and by the leg's segments: nothing else is read.
const made = new WeakMap<SwingFollow, WeakMap<LegSegments, SwingClearance | Open>>();

/** Part of the swing that is looked at: before and after it the foot leaves the ground and comes to it. Our choice. */
const MIDDLE = { from: 0.25, to: 0.75 } as const;

/**
 * Clearance of the forefoot, which trips, while it swings through on level ground: of the sole points ahead of the ankle. The heel
 * is lower still before contact, where it is meant to land.
 *
 *     z_hip(p) = −lowest sole point of the same leg at p − 50 %, hip at 0
 *
 * The other leg carries the hip in swing; it is taken as alike, half a stride away, and the pelvis as level. Both are true to some
 * centimetres only, as much as the clearance itself: compare commands with it, do not trust its last centimetre.
 */
export function swingClearance(input: StudyInput, follow: SwingFollow): SwingClearance | Open {
  const { segments } = input.leg;
  const known = made.get(follow) ?? new WeakMap<LegSegments, SwingClearance | Open>();
  made.set(follow, known);
  const clearance = known.get(segments) ?? clearanceOf(input, follow);
  known.set(segments, clearance);
  return clearance;
}

function clearanceOf(input: StudyInput, follow: SwingFollow): SwingClearance | Open {
  const task = input.tasks.find(({ id }) => id === follow.task);
  if (task?.kind !== 'stride') return { openBecause: 'it has no stride' };
  const { stride } = taskStride(task, input.strides, input.wearer);
  if (stride.activity !== 'level walking')
    return { openBecause: 'the ground under its swing is not known to be level' };
  if (!(stride.stance > 0.5)) return { openBecause: 'no leg is on the ground in the middle of its swing' };
  const { segments } = input.leg;
  const forefoot = { ...segments, sole: segments.sole.filter(({ x }) => x > 0) };
  if (forefoot.sole.length === 0)
    return {
      openBecause: 'the leg file has no sole point ahead of the ankle: add them to `sole` under `foot`',
    };
  const { thigh, joints } = stride;
  const at = (curve: StrideCurve | undefined, place: number) => curveAt(curve!, 100 * place).value;
  const { course, stance } = follow;
  let found: SwingClearance | undefined;
  let own = Number.POSITIVE_INFINITY;
  for (let k = 0; k < course.place.length; k++) {
    const place = course.place[k];
    const part = (place - stance) / (1 - stance);
    if (part < MIDDLE.from || part > MIDDLE.to) continue;
    const other = place - 0.5;
    const hip = -legPose(
      segments,
      at(thigh, other),
      at(joints.knee?.angle, other),
      at(joints.ankle?.angle, other),
    ).lowest;
    const its = (knee: number, ankle: number) =>
      soleClearance(forefoot, hip, course.ownThigh[k], knee, ankle);
    own = Math.min(own, its(course.ownKnee[k], course.ownAnkle[k]).height);
    const { height, point, ...slopes } = its(course.knee[k], course.ankle[k]);
    if (found === undefined || height < found.commanded)
      found = { commanded: height, own, place, ahead: forefoot.sole[point].x, ...slopes };
  }
  return found === undefined ? { openBecause: 'its swing is shorter than two ticks' } : { ...found, own };
}
