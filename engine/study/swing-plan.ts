import { taskStride } from '../gait/demand.ts';
import type { Stride } from '../gait/stride.ts';
import type { StrideTask } from '../gait/task.ts';
import type { StudyInput } from './study-input.ts';
import {
  covers,
  familyAt,
  familyWords,
  fittedCurve,
  inclineOf,
  type SwingTrajectories,
  swingFamily,
  type WholeSwing,
  wholeSwing,
} from './swing-family.ts';

/** The trajectories that a leg would carry for one task, beside the stride that they stand for. */
export interface SwingPlan extends SwingTrajectories {
  readonly stride: Stride;
  /** The stride's own curves: what the thigh does, and what knee and ankle should. */
  readonly own: WholeSwing;
  /** How the trajectories were made, in words. */
  readonly from: string;
}

/**
 * Trajectories of thigh, knee and ankle for one task. Walking on the level, or on a slope that its stride names: one fit over all walking tasks
 * of the study, linear in speed and incline, so that the leg carries one table for all of them and this task is followed as well as that
 * allows. Anything else, and an incline beyond what was fitted: the stride's own curves. Open where the stride lacks an angle.
 */
export function swingPlan(input: StudyInput, task: StrideTask): SwingPlan | { readonly openBecause: string } {
  const { stride } = taskStride(task, input.strides, input.wearer);
  const own = wholeSwing(stride);
  if ('openBecause' in own) return own;
  const incline = inclineOf(stride);
  if (incline !== undefined && stride.speed !== undefined) {
    const family = swingFamily(input);
    if (!('openBecause' in family) && covers(family, incline))
      return {
        stride,
        own,
        ...familyAt(family, { speed: stride.speed, incline }),
        from: familyWords(family),
      };
  }
  return {
    stride,
    own,
    thigh: fittedCurve(own.thigh),
    knee: fittedCurve(own.knee),
    ankle: fittedCurve(own.ankle),
    from: 'this stride alone',
  };
}
