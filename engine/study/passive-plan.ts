import type { DrivenJoint } from '../gait/stride.ts';
import { contactWatch } from '../walk/contact-watch.ts';
import type { PassiveSetup, WalkPassiveJoint } from '../walk/walk-setup.ts';
import type { PlannedWalk } from './planned-walk.ts';
import type { StudyInput } from './study-input.ts';
import { walkNeeds } from './walk-needs.ts';
import type { WalkChoice } from './walk-plan.ts';
import { walkingWearer, wearersStride } from './walk-wearer.ts';

type Open = { readonly openBecause: string };

/** Time between two rows of the log of a leg that has no controller, s. Our choice: that of most controllers. */
const PERIOD = 1e-3;

/** A walk of the study's leg without drives, its wearer and the stride the same as for any other leg; the reasons where it cannot be told. */
export function passivePlan(input: StudyInput, choice: WalkChoice): PlannedWalk<PassiveSetup> | Open {
  const lacks = walkNeeds(input);
  if (lacks.length > 0) return { openBecause: `the leg file lacks what a walk needs: ${lacks.join('; ')}` };
  if (choice.control === 'study')
    return {
      openBecause: 'this leg has no drives, so there is nothing that the study’s controller could move',
    };
  if (choice.change !== undefined)
    return { openBecause: 'this leg has no drives and no software that could be changed' };
  const on = wearersStride(input, choice);
  if ('openBecause' in on) return on;
  const walker = walkingWearer(input, on, choice, () => 0, 0);
  const joint = (name: DrivenJoint): WalkPassiveJoint => {
    const { endStop, range, ...passive } = input.leg.passiveJoints![name]!;
    return {
      passive,
      stops: { from: range.from, to: range.to, stiffness: endStop!.stiffness, damping: endStop!.damping! },
      reference: on.own[name],
    };
  };
  return {
    setup: {
      ...walker,
      knee: joint('knee'),
      ankle: joint('ankle'),
      controller: () => contactWatch(PERIOD, walker.course.weight),
      period: PERIOD,
    },
    stride: on.walked,
    regressionTime: on.regressionTime,
    notes: on.notes,
  };
}
