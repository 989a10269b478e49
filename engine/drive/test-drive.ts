// A lossless, frictionless joint of the check motor at 22:1, to be spoilt in one respect at a time. Read by tests only.
import { rad } from '../quantity/angle.ts';
import type { JointDrive } from './leg-drive.ts';
import { motor, transmission } from './test-motor.ts';

export const lossless: JointDrive = {
  motor: { ...motor, coulombDrag: 0, viscousDrag: 0, breakawayDrag: 0 },
  transmission: {
    ...transmission,
    ratio: 22,
    drivingEfficiency: 1,
    backDrivenEfficiency: 1,
    outputCoulomb: 0,
    outputBreakaway: 0,
  },
  currentLimit: 60,
  modulation: 'spaceVector',
  voltageMargin: 0.95,
  range: { from: rad(0), to: rad(2) },
};

/** The check motor's own drag and mesh, at 22:1. */
export const lossy: JointDrive = { ...lossless, motor, transmission: { ...transmission, ratio: 22 } };
