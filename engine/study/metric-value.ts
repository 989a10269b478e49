import type { DriveLoad } from '../drive/drive-load.ts';
import { torqueOf } from '../drive/motor-torque.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** A predicted number and where it occurs, or why there is none. */
export type MetricValue = { readonly value: number; readonly at?: string } | { readonly openBecause: string };

/** A metric of one design: joint, and one task or the worst of all. */
export type MetricFunction = (
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  task: string | undefined,
) => MetricValue;

/** The worst of one figure over the tasks that have it; `better` says which way is worse. */
export function worst(
  design: DesignResult,
  joint: DrivenJoint,
  task: string | undefined,
  of: (load: DriveLoad) => { value: number; index?: number },
  larger: boolean,
): MetricValue {
  let found: { value: number; at: string } | undefined;
  for (const [id, loads] of Object.entries(design.loads)) {
    const load = loads[joint];
    if (load === undefined || (task !== undefined && id !== task)) continue;
    const { value, index } = of(load);
    if (Number.isNaN(value)) continue;
    if (found === undefined || (larger ? value > found.value : value < found.value)) {
      const percent = index === undefined ? '' : `, ${(index / 2).toFixed(1)} %`;
      found = { value, at: `${design.demands[id].task.title}${percent}` };
    }
  }
  return (
    found ?? {
      openBecause:
        task === undefined
          ? `no task has a ${joint} curve with moments`
          : `task ${task} has no ${joint} curve with moments: speed or peaks only`,
    }
  );
}

/** A figure of the joint that needs no task; `why` where there is none. */
export const figure =
  (
    pick: (f: NonNullable<DesignResult['figures'][DrivenJoint]>) => number | undefined,
    why: string,
  ): MetricFunction =>
  (_, design, joint) => {
    const f = design.figures[joint];
    const value = f === undefined ? undefined : pick(f);
    return value === undefined || Number.isNaN(value)
      ? { openBecause: f === undefined ? `the leg has no ${joint} drive` : why }
      : { value };
  };

/** What a peaks-only task leaves of the torque: usable joint torque at standstill over the upper end of its range. */
export function peaksMargin(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  task: string | undefined,
): { value: number; at: string } | undefined {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return undefined;
  const { motor, transmission: t } = drive;
  let found: { value: number; at: string } | undefined;
  for (const [id, demand] of Object.entries(design.demands)) {
    if (demand.kind !== 'peaks' || (task !== undefined && id !== task)) continue;
    const asked = demand.joints[joint]?.moment?.high;
    if (asked === undefined) continue;
    const usable =
      t.ratio *
      t.drivingEfficiency *
      (torqueOf(motor, Math.min(drive.currentLimit, motor.peakCurrent)) - motor.coulombDrag);
    const value = usable / (asked + t.outputCoulomb);
    if (found === undefined || value < found.value)
      found = { value, at: `${demand.task.title}, upper end of the published range; peaks only` };
  }
  return found;
}
