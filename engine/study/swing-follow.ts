import type { PhaseMethod } from './phase-methods.ts';
import type { StudyInput } from './study-input.ts';
import { readySwing, remembered } from './swing-ready.ts';
import {
  errorOf,
  type FollowError,
  latched,
  phaseErrorOf,
  type SwingCourse,
  unlatched,
} from './swing-run.ts';

type Open = { readonly openBecause: string };

/** A swing of one task through the controller. */
export interface SwingFollow {
  readonly task: string;
  readonly title: string;
  readonly method: PhaseMethod;
  /** Whether the swing finishes by itself where the thigh no longer leads; only the latched map has that. */
  readonly finish: boolean;
  readonly trajectories: string;
  readonly strideTime: number;
  readonly stance: number;
  /** Way of the thigh from toe-off to its peak in the reference, rad. */
  readonly thighRange: number;
  /** Share of the stride where the thigh no longer leads, and where it peaks. */
  readonly fullPhase: number;
  readonly peakPhase: number;
  /** Largest |s − true share of the stride|. */
  readonly phaseError: number;
  readonly knee: FollowError;
  readonly ankle: FollowError;
  readonly course: SwingCourse;
}

/**
 * The stride of one task through the swing controller at the leg's own period and delays: its published thigh is what the sensor
 * sees, its knee and ankle are what the commands are set against. The joints are taken to do what they are told, the leg to stand
 * as the stride does at toe-off, load and unload to be known at once. Open where the thigh goes too short a way, an angle is not
 * known, or the leg file lacks period or delay.
 */
export function swingFollow(
  input: StudyInput,
  id: string,
  { method = 'latch', finish }: { readonly method?: PhaseMethod; readonly finish?: boolean } = {},
): SwingFollow | Open {
  return remembered(input, `follow ${id} ${method} ${finish}`, () => follow(input, id, method, finish));
}

function follow(
  input: StudyInput,
  id: string,
  method: PhaseMethod,
  finish: boolean | undefined,
): SwingFollow | Open {
  const of = readySwing(input, id, finish);
  if ('openBecause' in of) return of;
  const { plan, map } = of;
  const course = method === 'latch' ? latched(of) : unlatched(of, method);
  return {
    task: id,
    title: of.task.title,
    method,
    finish: method === 'latch' && map.finishRate > 0,
    trajectories: plan.from,
    strideTime: plan.stride.strideTime,
    stance: plan.stride.stance,
    thighRange: map.peak - map.referenceOn,
    fullPhase: map.fullPhase,
    peakPhase: map.peakPhase,
    phaseError: phaseErrorOf(course),
    knee: errorOf(course.knee, course.ownKnee),
    ankle: errorOf(course.ankle, course.ownAnkle),
    course,
  };
}
