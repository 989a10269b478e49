import type { JointTrajectory } from '../drive/drive-load.ts';
import { gramOf } from '../drive/scan-gram.ts';
import { ROW, type ScanSamples, scanSamples } from '../drive/scan-samples.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { type DesignResult, dutyTime } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** One task as the scan sees it. */
export interface ScanTask {
  readonly id: string;
  readonly title: string;
  /** s in the schedule; undefined where the task has no duty or its time is not known. */
  readonly duration: number | undefined;
}

/** A task of which only peaks are published, at their worst ends; a joint that stands moves nothing. N·m and rad/s, magnitudes. */
export interface PeakTask extends ScanTask {
  readonly kind: 'peaks' | 'standing';
  readonly moment?: number;
  readonly speed?: number;
}

/** What every task asks of one joint, ready for any motor and ratio. */
export interface RatioTasks {
  /** Tasks with a curve, in the order of the samples. */
  readonly strides: readonly (ScanTask & {
    /** False where the stride has no moments: only its speed is judged. */
    readonly known: boolean;
    /** Largest |τ_g|, N·m: what the gears carry. */
    readonly gearTorque: number;
  })[];
  readonly samples: ScanSamples;
  readonly gram: Float64Array;
  readonly peaks: readonly PeakTask[];
  /** Largest |θ̇| of all tasks, rad/s. */
  readonly fastest: number;
  /** Tasks of which nothing is known at this joint. */
  readonly unknown: readonly string[];
}

// By the design it was made from: pure, so remembering it changes nothing but time.
const made = new WeakMap<DesignResult, Map<DrivenJoint, RatioTasks>>();

/** The tasks of one joint that the leg drives. `design` must be what `evaluateDesign` made of this `input`. */
export function ratioTasks(input: StudyInput, design: DesignResult, joint: DrivenJoint): RatioTasks {
  const known = made.get(design) ?? new Map<DrivenJoint, RatioTasks>();
  made.set(design, known);
  const tasks = known.get(joint) ?? tasksOf(input, design, joint);
  known.set(joint, tasks);
  return tasks;
}

function tasksOf(input: StudyInput, { demands }: DesignResult, joint: DrivenJoint): RatioTasks {
  const drive = input.leg.joints[joint]!;
  const curves: { readonly task: ScanTask; readonly trajectory: JointTrajectory }[] = [];
  const peaks: PeakTask[] = [];
  const unknown: string[] = [];
  let fastest = 0;
  for (const [id, demand] of Object.entries(demands)) {
    const { title, duty } = demand.task;
    const counts = duty.strides !== undefined || duty.duration !== undefined;
    const task: ScanTask = { id, title, duration: counts ? dutyTime(demand) : undefined };
    if (demand.kind === 'standing') {
      // aligned, the knee holds nothing
      peaks.push({ ...task, kind: 'standing', moment: joint === 'ankle' ? Math.abs(demand.ankleMoment) : 0 });
    } else if (demand.kind === 'peaks') {
      const asked = demand.joints[joint];
      const largest = (range: { readonly low: number; readonly high: number } | undefined) =>
        range && Math.max(Math.abs(range.low), Math.abs(range.high));
      const [moment, speed] = [largest(asked?.moment), largest(asked?.speed)];
      if (moment === undefined && speed === undefined) unknown.push(title);
      else
        peaks.push({
          ...task,
          kind: 'peaks',
          ...(moment !== undefined && { moment }),
          ...(speed !== undefined && { speed }),
        });
      fastest = Math.max(fastest, speed ?? 0);
    } else {
      const trajectory = demand.joints[joint];
      if (trajectory === undefined) unknown.push(title);
      else curves.push({ task, trajectory });
    }
  }
  const samples = scanSamples(
    drive,
    curves.map(({ trajectory }) => trajectory),
  );
  const { start, rows } = samples;
  const strides = curves.map(({ task, trajectory }, k) => {
    let gearTorque = 0;
    for (let i = start[k] * ROW; i < start[k + 1] * ROW; i += ROW) {
      gearTorque = Math.max(gearTorque, Math.abs(rows[i] + rows[i + 1]));
      fastest = Math.max(fastest, Math.abs(rows[i + 3]));
    }
    return { ...task, known: !trajectory.moment.some(Number.isNaN), gearTorque };
  });
  return { strides, samples, gram: gramOf(samples), peaks, fastest, unknown };
}
