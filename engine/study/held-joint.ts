import { loopDelay } from '../drive/current-loop.ts';
import { type ImpedanceResponse, impedanceLoop, passiveStiffness } from '../drive/impedance-loop.ts';
import { linkInertia } from '../drive/link-inertia.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import { jointDamping } from '../drive/torque-bandwidth.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { StudyInput } from './study-input.ts';

/** Spring N·m/rad and damper N·m·s/rad of a controller that runs once a `period`, s. */
export interface Rendered {
  readonly stiffness: number;
  readonly damping: number;
  readonly period: number;
}

/** What such a controller makes of one joint, in the air, gears rigid. */
export interface HeldJoint {
  /** Link and rotor, kg·m², and what motor and bearings damp by themselves, N·m·s/rad. */
  readonly inertia: number;
  readonly friction: number;
  /** s */
  readonly delay: number;
  readonly onError: ImpedanceResponse;
  readonly onSpeed: ImpedanceResponse;
  /** N·m/rad: with the software's damper, and with a spring alone. Negative: not even none. */
  readonly passiveStiffness: number;
  readonly passiveSpring: number;
}

/** Holds one joint with `rendered`: delay of one and a half periods, as in the current loop. undefined where the joint is not driven. */
export function heldJoint(input: StudyInput, joint: DrivenJoint, rendered: Rendered): HeldJoint | undefined {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return undefined;
  const { stiffness, damping, period } = rendered;
  const inertia = linkInertia(joint, input.leg.segments) + reflectedInertia(drive.motor, drive.transmission);
  const friction = jointDamping(drive);
  const delay = loopDelay(1 / period);
  const loop = { inertia, stiffness, damping, friction, delay };
  return {
    inertia,
    friction,
    delay,
    onError: impedanceLoop({ ...loop, dampingOn: 'error' }),
    onSpeed: impedanceLoop({ ...loop, dampingOn: 'speed' }),
    passiveStiffness: passiveStiffness(friction, damping, period),
    passiveSpring: passiveStiffness(friction, 0, period),
  };
}
