import { type DriveFigures, driveFigures } from '../drive/drive-figures.ts';
import { type DriveLoad, driveLoad } from '../drive/drive-load.ts';
import { type PeaksLoad, peaksLoad } from '../drive/peaks-load.ts';
import { gaitDemand } from '../gait/demand.ts';
import type { Demand } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { newArray, type TakeArray } from '../numeric/reused-arrays.ts';
import type { StudyInput } from './study-input.ts';

export const DRIVEN: readonly DrivenJoint[] = ['knee', 'ankle'];

export type Demands = Readonly<Record<string, Demand>>;

/** RMS motor torque over the schedule, weighted by time, and what had no curve to weigh. */
export interface ScheduleLoad {
  readonly rmsTorque: number;
  /** s, of the tasks that count. */
  readonly time: number;
  readonly leftOut: readonly string[];
}

/** One design, all its tasks: what every face shows. */
export interface DesignResult {
  readonly demands: Demands;
  /** By task id, then joint; only tasks with a curve. */
  readonly loads: Readonly<Record<string, { readonly [joint in DrivenJoint]?: DriveLoad }>>;
  /** By task id, then joint; only tasks of which nothing but peaks is published. */
  readonly peaks: Readonly<Record<string, { readonly [joint in DrivenJoint]?: PeaksLoad }>>;
  readonly figures: { readonly [joint in DrivenJoint]?: DriveFigures };
  readonly schedule: { readonly [joint in DrivenJoint]?: ScheduleLoad };
}

/** What every task asks, by task id. Depends on wearer, strides and segments, not on the drives. */
export function studyDemands(input: StudyInput): Demands {
  return Object.fromEntries(
    input.tasks.map((task) => [task.id, gaitDemand(task, input.strides, input.wearer, input.leg.segments)]),
  );
}

/** Time of one task in the schedule, s; undefined where it has no duty, or counts strides whose time is not known. */
export function dutyTime(demand: Demand): number | undefined {
  const { strides, duration } = demand.task.duty;
  if (duration !== undefined) return duration;
  return strides !== undefined && demand.kind === 'stride' ? strides * demand.strideTime : undefined;
}

/** √(Σ t_i·rms_i²/Σ t_i) over tasks that have a curve with moments and a duty. NaN where none has. */
function scheduleLoad(joint: DrivenJoint, demands: Demands, loads: DesignResult['loads']): ScheduleLoad {
  let time = 0;
  let heat = 0;
  const leftOut: string[] = [];
  for (const id of Object.keys(demands)) {
    const demand = demands[id]!;
    const { strides, duration } = demand.task.duty;
    if (strides === undefined && duration === undefined) continue;
    const seconds = dutyTime(demand);
    const rms = loads[id]?.[joint]?.rmsTorque;
    if (seconds === undefined || rms === undefined || Number.isNaN(rms)) leftOut.push(demand.task.title);
    else {
      time += seconds;
      heat += seconds * rms * rms;
    }
  }
  return { rmsTorque: time > 0 ? Math.sqrt(heat / time) : Number.NaN, time, leftOut };
}

/**
 * Runs gait and drive for every task of one design. Give `demands` (from `studyDemands`) where neither wearer, strides nor segments
 * changed, such as while only a ratio moves. `take` gives the arrays of motor torque.
 */
export function evaluateDesign(
  input: StudyInput,
  demands: Demands = studyDemands(input),
  take: TakeArray = newArray,
): DesignResult {
  const { leg } = input;
  const loads: Record<string, { [joint in DrivenJoint]?: DriveLoad }> = {};
  const peaks: Record<string, { [joint in DrivenJoint]?: PeaksLoad }> = {};
  for (const id of Object.keys(demands)) {
    const demand = demands[id]!;
    if (demand.kind === 'peaks') {
      const own: { [joint in DrivenJoint]?: PeaksLoad } = {};
      for (const joint of DRIVEN) {
        const [drive, asked] = [leg.joints[joint], demand.joints[joint]];
        if (drive !== undefined && asked !== undefined) own[joint] = peaksLoad(drive, asked, leg.busVoltage);
      }
      peaks[id] = own;
    }
    if (demand.kind !== 'stride') continue;
    const own: { [joint in DrivenJoint]?: DriveLoad } = {};
    for (const joint of DRIVEN) {
      const [drive, trajectory] = [leg.joints[joint], demand.joints[joint]];
      if (drive !== undefined && trajectory !== undefined)
        own[joint] = driveLoad(drive, trajectory, leg.busVoltage, take);
    }
    loads[id] = own;
  }
  const figures: { [joint in DrivenJoint]?: DriveFigures } = {};
  const schedule: { [joint in DrivenJoint]?: ScheduleLoad } = {};
  for (const joint of DRIVEN) {
    const drive = leg.joints[joint];
    if (drive === undefined) continue;
    figures[joint] = driveFigures(drive, leg.busVoltage, joint === 'knee' ? leg.segments : undefined);
    schedule[joint] = scheduleLoad(joint, demands, loads);
  }
  return { demands, loads, peaks, figures, schedule };
}
