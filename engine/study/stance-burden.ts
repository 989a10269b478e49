import { type TuningBurden, tuningBurden } from '../control/tuning-burden.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import type { Demand } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';

/** Tuning burden of one task's stance. */
export interface StanceBurden extends TuningBurden {
  readonly task: string;
  readonly title: string;
}

/** Burden of `drive` over the whole stance of a task; undefined where the task has no curve with a moment of this joint there. */
export function stanceBurden(
  drive: JointDrive,
  demand: Demand,
  joint: DrivenJoint,
  constantError = 0,
): StanceBurden | undefined {
  if (demand.kind !== 'stride') return undefined;
  const motion = demand.joints[joint];
  if (motion === undefined) return undefined;
  const to = Math.floor(demand.stance * (motion.angle.length - 1)) + 1;
  const burden = tuningBurden(drive, motion, constantError, 0, to);
  if (Number.isNaN(burden.mismatch)) return undefined;
  return { ...burden, task: demand.task.id, title: demand.task.title };
}

/** The heaviest stance of all tasks, or of one; undefined where none has a curve. */
export function heaviestStance(
  drive: JointDrive,
  design: DesignResult,
  joint: DrivenJoint,
  only: string | undefined,
): StanceBurden | undefined {
  let found: StanceBurden | undefined;
  for (const [id, demand] of Object.entries(design.demands)) {
    if (only !== undefined && id !== only) continue;
    const there = stanceBurden(drive, demand, joint);
    if (there !== undefined && !(there.mismatch <= (found?.mismatch ?? Number.NEGATIVE_INFINITY)))
      found = there;
  }
  return found;
}
