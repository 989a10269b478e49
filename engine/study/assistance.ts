import { deliveredMoment } from '../drive/delivered-moment.ts';
import { largestCurrent } from '../drive/largest-current.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { torqueOf } from '../drive/motor-torque.ts';
import type { JointDemand, StrideDemand } from '../gait/demand-result.ts';
import { jointWork } from '../gait/joint-demand.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { curveRms } from '../numeric/trapezoid.ts';
import { type DesignResult, dutyTime } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** A moment over the stride, N·m, and the work of who gives it, J. */
export interface MomentFigures {
  readonly peak: number;
  readonly rms: number;
  readonly positiveWork: number;
  readonly negativeWork: number;
}

/** One task with part of the moment given by the joint. */
export interface TaskAssistance {
  readonly id: string;
  readonly title: string;
  /** Without the device. */
  readonly alone: MomentFigures;
  /** With it: what is left to the wearer. */
  readonly wearer: MomentFigures;
  /** With it and nobody powering it: the wearer moves themselves and the drive. */
  readonly unpowered: MomentFigures;
  /** Motor torque commanded, N·m, and limit ÷ need; below 1 the motor cannot give this share. */
  readonly peakMotorTorque: number;
  readonly torqueMargin: number;
  /** Over the stride: what the wearer is left with, N·m, engine signs. */
  readonly left: Float64Array;
}

/** Partial assistance of one joint. */
export interface JointAssistance {
  readonly joint: DrivenJoint;
  readonly share: number;
  readonly tasks: readonly TaskAssistance[];
  readonly leftOut: readonly string[];
  /** RMS moment left to the wearer ÷ alone, over the schedule by time. Below 1 the device helps. */
  readonly effort: number;
  /** The same with nobody powering it. Usually above 1; below it where drag brakes what the wearer would have to brake. */
  readonly effortUnpowered: number;
  /** Smallest share at which the device no longer costs effort; null where none up to 1 does. */
  readonly breakEven: number | null;
}

const SHARES = 50;
const HALVINGS = 40;

/**
 * A joint beside a wearer with strength of their own, as in an orthosis or exoskeleton: the motor is asked for `share` of the human
 * moment and knows nothing of its own inertia and friction, since there is no torque sensor; the wearer gives the rest and moves the
 * drive as well.
 *
 *     τ_m = share·M/N,   M_wearer = M − τ(τ_m)            τ as `deliveredMoment` has it, spring included
 *
 * At share 0 the wearer is charged with the back-drive torque. The human moment is used throughout the stride, also in swing: the limb
 * is the wearer's own. What the device weighs is not in it. Motion unchanged; torque in proportion to current, the commanded torque
 * not cut off at the limit: see the margin. Undefined where the leg does not drive the joint.
 */
export function assistance(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  share: number,
): JointAssistance | undefined {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return undefined;
  const tasks: TaskAssistance[] = [];
  const leftOut: string[] = [];
  const weighted: { readonly of: JointDemand; readonly time: number }[] = [];
  for (const demand of Object.values(design.demands)) {
    const of = demand.kind === 'stride' ? demand.joints[joint] : undefined;
    if (of === undefined || Number.isNaN(of.peak.moment)) {
      leftOut.push(demand.task.title);
      continue;
    }
    tasks.push(taskAssistance(drive, demand as StrideDemand, of, share));
    const time = dutyTime(demand);
    if (time !== undefined && time > 0) weighted.push({ of, time });
  }
  const effort = (at: number): number => {
    let left = 0;
    let alone = 0;
    for (const { of, time } of weighted) {
      left += time * curveRms(wearerMoment(drive, of, at)) ** 2;
      alone += time * curveRms(of.humanMoment) ** 2;
    }
    return Math.sqrt(left / alone);
  };
  return {
    joint,
    share,
    tasks,
    leftOut,
    effort: effort(share),
    effortUnpowered: effort(0),
    breakEven: weighted.length === 0 ? null : firstAtMost(effort),
  };
}

/** What is left to the wearer at a share, N·m. */
function wearerMoment(drive: JointDrive, of: JointDemand, share: number): Float64Array {
  const N = drive.transmission.ratio;
  const command = of.humanMoment.map((m) => (share * m) / N);
  const given = deliveredMoment(drive, of, command);
  return given.map((tau, i) => of.humanMoment[i] - tau);
}

function taskAssistance(
  drive: JointDrive,
  { task, strideTime }: StrideDemand,
  of: JointDemand,
  share: number,
): TaskAssistance {
  const figures = (moment: Float64Array): MomentFigures => {
    const power = moment.map((m, i) => m * of.velocity[i]);
    const work = jointWork(power, strideTime / (power.length - 1));
    return {
      peak: peakOf(moment),
      rms: curveRms(moment),
      positiveWork: work.positive,
      negativeWork: work.negative,
    };
  };
  const left = wearerMoment(drive, of, share);
  const peakMotorTorque = (share * peakOf(of.humanMoment)) / drive.transmission.ratio;
  return {
    id: task.id,
    title: task.title,
    alone: figures(of.humanMoment),
    wearer: figures(left),
    unpowered: figures(wearerMoment(drive, of, 0)),
    peakMotorTorque,
    torqueMargin: torqueOf(drive.motor, largestCurrent(drive)) / peakMotorTorque,
    left,
  };
}

const peakOf = (y: Float64Array): number => y.reduce((most, m) => Math.max(most, Math.abs(m)), 0);

/** Smallest share at which effort is at most 1: the first of even steps that is, then bisection against the step before. */
function firstAtMost(effort: (share: number) => number): number | null {
  if (effort(0) <= 1) return 0;
  for (let k = 1; k <= SHARES; k++) {
    if (effort(k / SHARES) > 1) continue;
    let [low, high] = [(k - 1) / SHARES, k / SHARES];
    for (let n = 0; n < HALVINGS; n++) {
      const middle = (low + high) / 2;
      if (effort(middle) > 1) low = middle;
      else high = middle;
    }
    return high;
  }
  return null;
}
