import { type BackDriveOverAngle, backDriveOverAngle, motorBreakaway } from '../drive/back-drive-angle.ts';
import { BACK_DRIVE_SPEED } from '../drive/drive-figures.ts';
import { currentFor } from '../drive/motor-torque.ts';
import type { PhaseShort } from '../drive/shorted-phases.ts';
import { type Transparency, transparency } from '../drive/transparency.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { phasesOf } from './power-lost.ts';
import type { StudyInput } from './study-input.ts';

/** What a hand must bring to move one joint, over its range and both ways. N·m, rad, A. */
export interface JointBackDrive {
  /** To start it. At a standstill a short brakes nothing: the same open, shorted, and powered with zero current. */
  readonly breakaway: BackDriveOverAngle;
  /** To keep it moving at BACK_DRIVE_SPEED: open, or powered with zero current; shorted; as the leg does on loss of power. */
  readonly moving: {
    readonly open: BackDriveOverAngle;
    readonly shorted: BackDriveOverAngle;
    readonly powerLost?: { readonly short: PhaseShort; readonly over: BackDriveOverAngle };
  };
  /** From the motor's side: what just starts the unloaded joint, on the shaft, and its current. */
  readonly start: { readonly torque: number; readonly current: number };
  readonly transparency: Transparency;
}

/** Angles at which a joint is looked at over its range; at least eight are good practice on a rig (COMMON PRACTICE). */
const ANGLES = 9;

/** Back-driving of one joint, or why it is not known. */
export function jointBackDrive(
  input: StudyInput,
  joint: DrivenJoint,
): JointBackDrive | { readonly openBecause: string } {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
  const { motor, transmission } = drive;
  if (motor.cogging !== undefined && motor.cogging.amplitude > motor.breakawayDrag)
    return {
      openBecause: `the ${joint} motor’s cogging of ${motor.cogging.amplitude} N·m is more than its \`breakawayDrag\` of ${motor.breakawayDrag} N·m, which holds cogging and friction together: correct one of them`,
    };
  const over = (short: PhaseShort, speed: number) => backDriveOverAngle(drive, short, speed, ANGLES);
  const phases = phasesOf(input, joint);
  const torque = motorBreakaway(motor, transmission);
  return {
    breakaway: over('open', 0),
    moving: {
      open: over('open', BACK_DRIVE_SPEED),
      shorted: over(0, BACK_DRIVE_SPEED),
      ...('short' in phases && {
        powerLost: { short: phases.short, over: over(phases.short, BACK_DRIVE_SPEED) },
      }),
    },
    start: { torque, current: currentFor(motor, torque) },
    transparency: transparency(drive, joint, input.leg.segments, input.leg.busVoltage),
  };
}
