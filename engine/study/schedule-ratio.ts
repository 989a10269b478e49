import { admissibleRatios, type CycleMeans, cycleMeans, optimumRatio } from '../drive/ratio-optimum.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { type DesignResult, dutyTime } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** What the schedule's strides say of the ratio: a fact about them, never the choice. */
export interface RatioFact {
  /** N of least RMS motor torque, friction left out. Flat, and too high for a joint that must be moved by hand. */
  readonly optimum: number;
  /** Ratios whose RMS stays within the motor's continuous torque; null where none does; absent where that torque is not known. */
  readonly admissible?: { readonly least: number; readonly largest: number } | null;
}

/**
 * The averages of `cycleMeans` over the schedule, weighted by time, then `optimumRatio` and `admissibleRatios` with rotor and input
 * gears as they are. Undefined where no task of the schedule has a curve with moments at this joint.
 */
export function scheduleRatio(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
): RatioFact | undefined {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return undefined;
  const { motor, transmission } = drive;
  let time = 0;
  const sum = { torqueSquare: 0, accelerationSquare: 0, product: 0 };
  for (const demand of Object.values(design.demands)) {
    const trajectory = demand.kind === 'stride' ? demand.joints[joint] : undefined;
    const seconds = dutyTime(demand);
    if (trajectory === undefined || seconds === undefined) continue;
    const means = cycleMeans(trajectory, transmission);
    if (Number.isNaN(means.torqueSquare)) continue;
    time += seconds;
    for (const key of Object.keys(sum) as (keyof CycleMeans)[]) sum[key] += seconds * means[key];
  }
  if (time === 0) return undefined;
  const means: CycleMeans = {
    torqueSquare: sum.torqueSquare / time,
    accelerationSquare: sum.accelerationSquare / time,
    product: sum.product / time,
  };
  const inertia = motor.rotorInertia + transmission.inputInertia;
  return {
    optimum: optimumRatio(means, inertia),
    ...(motor.continuousTorque !== undefined && {
      admissible: admissibleRatios(means, inertia, motor.continuousTorque),
    }),
  };
}
