import { endStopTorque } from '../drive/end-stop-torque.ts';
import { hardStopTorque } from '../drive/impact.ts';
import { linkInertia } from '../drive/link-inertia.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';
import { type FastestMotion, fastestMotion } from './fastest-motion.ts';
import type { StudyInput } from './study-input.ts';

/** A joint that meets its end stop as fast as any task moves it, unpowered. N·m in the gears, at the joint. */
export interface JointEndStop {
  readonly motion: FastestMotion;
  /** Of the leg's own stop and the link that may rebound from it. */
  readonly torque: number;
  /** Had the stop held the link: the closed form. */
  readonly held: number;
  /** The leg file gives no damping of the stop: taken as none. */
  readonly undamped: boolean;
}

/** Gear torque at the end stop, or why it is not known; of the task `only` where it is given. */
export function jointEndStop(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  only?: string,
): JointEndStop | { readonly openBecause: string } {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
  const { motor, transmission: t, endStop } = drive;
  if (endStop === undefined)
    return {
      openBecause: `the leg file has no \`endStop\` for the ${joint}: add its \`stiffness\`, and \`damping\` where it is known`,
    };
  const motion = fastestMotion(design, joint, only);
  if (motion === undefined)
    return {
      openBecause:
        only === undefined ? `no task has a ${joint} motion` : `task ${only} has no ${joint} motion`,
    };
  const rotorInertia = reflectedInertia(motor, t);
  return {
    motion,
    torque: endStopTorque({
      linkInertia: linkInertia(joint, input.leg.segments),
      rotorInertia,
      gearStiffness: t.torsionalStiffness,
      stopStiffness: endStop.stiffness,
      stopDamping: endStop.damping ?? 0,
      velocity: motion.speed,
    }),
    held: hardStopTorque(t.torsionalStiffness, rotorInertia, motion.speed),
    undamped: endStop.damping === undefined,
  };
}
