import type { LegSegments } from '../gait/stride.ts';
import { breakawayTorque, dynamicBackDriveTorque } from './back-drive.ts';
import { deadAngle, kneePendulum, smallSwing } from './free-swing.ts';
import { largestCurrent } from './largest-current.ts';
import type { JointDrive } from './leg-drive.ts';
import { torqueOf } from './motor-torque.ts';
import { drivenTorque } from './peaks-load.ts';
import { reflectedInertia } from './reflected-inertia.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

/** Joint velocity at which moving back-drive torque is quoted, rad/s: a slow hand, about 170 °/s. Our choice. */
export const BACK_DRIVE_SPEED = 3;

/** Figures of one joint that need no task. SI. */
export interface DriveFigures {
  /** N·K_t(i_max)·i_max: the number on the poster. */
  readonly peakTorqueLossless: number;
  /** The same after motor drag, mesh and output friction. */
  readonly peakTorque: number;
  /** Joint speed without load on the nominal bus, rad/s. */
  readonly unloadedSpeed: number;
  readonly reflectedInertia: number;
  readonly breakaway: number;
  /** At BACK_DRIVE_SPEED, steady. */
  readonly backDrive: number;
  /** Of the unpowered knee; absent for other joints. */
  readonly swing?: { readonly deadAngle: number; readonly halfPeriod: number };
  /** Hints, COMMON PRACTICE, never a verdict. */
  readonly hints: readonly string[];
}

/** Figures of one joint. `segments` only for the knee, whose free swing they make. */
export function driveFigures(drive: JointDrive, busVoltage: number, segments?: LegSegments): DriveFigures {
  const { motor, transmission: t } = drive;
  const shaft = torqueOf(motor, largestCurrent(drive));
  const breakaway = breakawayTorque(motor, t);
  const swing = segments === undefined ? undefined : kneePendulum(drive, segments);
  return {
    peakTorqueLossless: t.ratio * shaft,
    peakTorque: drivenTorque(drive),
    unloadedSpeed: speedLimit(motor, phaseVoltageLimit(busVoltage, drive), 0) / t.ratio,
    reflectedInertia: reflectedInertia(motor, t),
    breakaway,
    backDrive: dynamicBackDriveTorque(motor, t, BACK_DRIVE_SPEED, 0),
    ...(swing && {
      swing: { deadAngle: deadAngle(breakaway, swing.gravity), halfPeriod: smallSwing(swing).halfPeriod },
    }),
    hints: [
      t.ratio < 24
        ? 'Below about 24:1 a ratio counts as low.'
        : 'At 24:1 and above a ratio no longer counts as low.',
      'A good low-ratio joint back-drives at about 1–3 N·m.',
      'Reflected inertia grows with the square of the ratio.',
    ],
  };
}
