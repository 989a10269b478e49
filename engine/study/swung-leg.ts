import type { SwungLeg } from '../control/swing-torque.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import { GRAVITY } from '../gait/inverse-dynamics.ts';
import type { StudyInput } from './study-input.ts';

/** What swings on this leg's knee and ankle. The thigh is led by the wearer: of it only the length counts. */
export function swungLeg({ leg: { segments, joints } }: StudyInput): SwungLeg {
  const rotor = ({ motor, transmission }: JointDrive): number => reflectedInertia(motor, transmission);
  return {
    leg: {
      thigh: { ...segments.thighPart, length: segments.thighLength },
      shank: segments.shank,
      foot: segments.foot,
    },
    kneeRotor: rotor(joints.knee!),
    ankleRotor: rotor(joints.ankle!),
    gravity: GRAVITY,
  };
}
