import type { StandingDemand } from './demand-result.ts';
import { GRAVITY } from './inverse-dynamics.ts';
import type { Wearer } from './stride.ts';
import type { StandingTask } from './task.ts';

/** Height of the body's centre of mass above the ankle as a share of stature. COMMON PRACTICE for an upright adult. */
const CENTRE_HEIGHT = 0.53;

/**
 * Standing as an inverted pendulum over the ankle: upright is stable without balance reflexes only while the ankle is stiffer
 * than gravity topples,
 *
 *     K ≥ share·m·g·h,   τ_ankle = −share·m·g·lean   (plantarflexor, engine sign negative)
 *
 * with h = 0.53·H (COMMON PRACTICE). The linearised pendulum is a textbook result; the body is one rigid link, so a moving hip is
 * left out.
 */
export function standingDemand(task: StandingTask, wearer: Wearer): StandingDemand {
  const weight = task.loadShare * wearer.mass * GRAVITY;
  return {
    kind: 'standing',
    task,
    ankleMoment: -weight * task.lean,
    ankleStiffness: weight * CENTRE_HEIGHT * wearer.height,
    duration: task.duty.duration ?? Number.NaN,
    notes: [
      'A demand in stiffness and time: the stalled motor heats one phase more than the others, which the heat stage treats.',
      'Least stiffness of a rigid inverted pendulum; comfort and balance ask for more.',
    ],
  };
}
