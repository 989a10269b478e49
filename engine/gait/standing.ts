import { Fault } from '../quantity/fault.ts';
import type { StandingDemand } from './demand-result.ts';
import { GRAVITY } from './inverse-dynamics.ts';
import type { Wearer } from './stride.ts';
import type { StandingTask } from './task.ts';

/** Height of the body's centre of mass above the ankle as a share of stature. COMMON PRACTICE for an upright adult. */
const CENTRE_HEIGHT = 0.53;

/** m: no foot reaches further before its ankle. Catches millimetres read as metres; our choice. */
const LONGEST_FOOT = 0.3;

/**
 * Standing as an inverted pendulum over the ankle: upright is stable without balance reflexes only while the ankle is stiffer
 * than gravity topples,
 *
 *     K ≥ share·m·g·h,   τ_ankle = −share·m·g·lean   (plantarflexor, engine sign negative)
 *
 * with h = 0.53·H (COMMON PRACTICE). The linearised pendulum is a textbook result; the body is one rigid link, so a moving hip is
 * left out. `lean` is where the centre of pressure stays, from heel to toe: beyond the foot nobody stands.
 *
 * Faults: a share that is not between 0 and 1, a lean longer than any foot.
 */
export function standingDemand(task: StandingTask, wearer: Wearer): StandingDemand {
  const path = `tasks.${task.id}`;
  if (!(task.loadShare >= 0 && task.loadShare <= 1)) {
    throw new Fault({
      code: 'gait.load-share',
      what: `The share of body weight on this leg lies between 0 and 1, not at ${task.loadShare}`,
      mend: 'Use 0.5 for standing on both legs alike, 1 for this leg alone',
      place: { path: `${path}.loadShare` },
    });
  }
  if (!(Math.abs(task.lean) <= LONGEST_FOOT)) {
    throw new Fault({
      code: 'gait.lean',
      what: `The centre of pressure stays under the foot, within ${LONGEST_FOOT} m of the ankle, not at ${task.lean} m`,
      mend: 'Give the lean in metres, such as 0.04 m forward of the ankle',
      place: { path: `${path}.lean` },
    });
  }
  const weight = task.loadShare * wearer.mass * GRAVITY;
  return {
    kind: 'standing',
    task,
    ankleMoment: -weight * task.lean,
    ankleStiffness: weight * CENTRE_HEIGHT * wearer.height,
    duration: task.duty.duration ?? Number.NaN,
    notes: [
      'A demand in stiffness and time: the stalled motor heats one phase more than the others, which `drive heat` treats.',
      'Least stiffness of a rigid inverted pendulum; comfort and balance ask for more.',
    ],
  };
}
