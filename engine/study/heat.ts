import { type HeatCourse, heatCourse } from '../drive/heat-course.ts';
import { type HeatLoad, holdHeat, peakHeat, strideHeat } from '../drive/heat-load.ts';
import { coldState, type HeatPath, heatTimeConstants } from '../drive/heat-nodes.ts';
import { continuousMotorTorque, runawayLoss, type SteadyHeat, steadyHeat } from '../drive/steady-heat.ts';
import { adiabaticTime, timeToLimit } from '../drive/time-to-limit.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { type DesignResult, dutyTime } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** One task's heat in one joint. */
export interface TaskHeat {
  readonly id: string;
  readonly title: string;
  readonly load: HeatLoad;
  /** s in the schedule; 0 where the task has no duty. */
  readonly duration: number;
  /** Were the task done for ever. */
  readonly steady: SteadyHeat;
}

/** Seconds until the winding is at its limit, at peak torque. */
export interface PeakTimes {
  readonly fromCold: number;
  /** From the schedule's hottest moment. */
  readonly fromDay: number;
  /** Without any heat leaving, from cold: a lower bound. */
  readonly adiabatic: number;
}

/** Heat of one joint: over each task, over the schedule, at a standstill, at peak torque. K, s, W. */
export interface JointHeat {
  readonly ambient: number;
  readonly windingLimit: number;
  readonly surfaceLimit?: number;
  readonly tasks: readonly TaskHeat[];
  /** Tasks of the schedule that have no curve with moments, and so no heat here. */
  readonly leftOut: readonly string[];
  /** The schedule from cold, the coolest task first; `order` says which task each block is. */
  readonly course: HeatCourse;
  readonly order: readonly string[];
  /** N·m; see `continuousMotorTorque`. */
  readonly continuousTorque: number;
  readonly timeConstants: readonly [short: number, long: number];
  readonly runawayLoss: number;
  readonly peak: { readonly turning: PeakTimes; readonly stalled: PeakTimes };
  /** What the reader must know. */
  readonly notes: readonly string[];
}

/** s_hot of a stalled rotor at the worst angle: 2 by derivation; what a file may miss it by before it is said. */
const STALL_FACTOR = 2;
const STALL_TOLERANCE = 0.01;

/** Why heat is not predicted for a joint, or the path of heat. */
export function heatPathOf(
  input: StudyInput,
  joint: DrivenJoint,
): HeatPath | { readonly openBecause: string } {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
  if (drive.thermal === undefined)
    return {
      openBecause: `the leg file has no \`thermal\` for the ${joint}, so nothing is known of its heat: add the resistances, capacities and limit`,
    };
  if (Number.isNaN(input.leg.ambientTemperature))
    return {
      openBecause:
        'the leg file has no `ambientTemperature`, and heat is only known above some air: add the warmest in which it is to be used',
    };
  return { motor: drive.motor, thermal: drive.thermal, ambient: input.leg.ambientTemperature };
}

// Heat by the design it was made from: pure, so remembering it changes nothing but time.
const made = new WeakMap<DesignResult, Map<DrivenJoint, JointHeat>>();

/**
 * Heat of one joint of a design. `design` must be what `evaluateDesign` made of this `input`. Gives the reason where the leg file does
 * not say enough. Not part of `evaluateDesign`, which runs while a ratio is dragged.
 *
 * The order of a day is not known: tasks follow one another without rest from the one with the coolest steady state to the hottest,
 * so that the hottest finds the housing warm. A standing task is a hold at the worst electrical angle.
 */
export function jointHeat(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
): JointHeat | { readonly openBecause: string } {
  const path = heatPathOf(input, joint);
  if ('openBecause' in path) return path;
  const known = made.get(design) ?? new Map<DrivenJoint, JointHeat>();
  made.set(design, known);
  const heat = known.get(joint) ?? heatAlong(path, input, design, joint);
  known.set(joint, heat);
  return heat;
}

function heatAlong(path: HeatPath, input: StudyInput, design: DesignResult, joint: DrivenJoint): JointHeat {
  const drive = input.leg.joints[joint]!;
  const tasks: TaskHeat[] = [];
  const leftOut: string[] = [];
  for (const [id, demand] of Object.entries(design.demands)) {
    const { title, duty } = demand.task;
    const counts = duty.strides !== undefined || duty.duration !== undefined;
    const trajectory = demand.kind === 'stride' ? demand.joints[joint] : undefined;
    const load = design.loads[id]?.[joint];
    const heat =
      demand.kind === 'standing'
        ? holdHeat(drive, joint === 'ankle' ? demand.ankleMoment : 0)
        : trajectory !== undefined && load !== undefined && !Number.isNaN(load.peakTorque)
          ? strideHeat(drive, trajectory, load)
          : undefined;
    const duration = counts ? dutyTime(demand) : 0;
    if (heat === undefined || duration === undefined) {
      if (counts) leftOut.push(title);
      continue;
    }
    tasks.push({ id, title, load: heat, duration, steady: steadyHeat(path, heat) });
  }
  const schedule = tasks
    .filter(({ duration }) => duration > 0)
    .sort((a, b) => a.steady.winding - b.steady.winding || a.load.copper - b.load.copper);
  const course = heatCourse(path, schedule);
  const peak = (rotor: HeatLoad['rotor']): PeakTimes => {
    const load = peakHeat(drive, rotor);
    const cold = coldState(path.ambient);
    return {
      fromCold: timeToLimit(path, load, cold),
      fromDay: timeToLimit(path, load, course.hottestState),
      adiabatic: adiabaticTime(path, load, cold),
    };
  };
  const { thermal } = path;
  return {
    ambient: path.ambient,
    windingLimit: thermal.windingLimit,
    ...(thermal.surfaceLimit !== undefined && { surfaceLimit: thermal.surfaceLimit }),
    tasks,
    leftOut,
    course,
    order: schedule.map(({ id }) => id),
    continuousTorque: continuousMotorTorque(path),
    timeConstants: heatTimeConstants(thermal),
    runawayLoss: runawayLoss(path),
    peak: { turning: peak('turning'), stalled: peak('stalled') },
    notes: notesOf(path, joint),
  };
}

function notesOf({ thermal, motor }: HeatPath, joint: DrivenJoint): string[] {
  const { stallFactor, surfaceLimit } = thermal;
  return [
    'Tasks follow one another without rest, the coolest first: the order of a day is not known, and this one leaves the housing warm for the hottest.',
    'Drag, mesh and output friction heat the housing; losses of the electronics, sun, clothing over the leg and heat from the wearer are not in it.',
    ...(joint === 'knee'
      ? ['Standing, the knee is taken as aligned: it holds nothing. Standing on a bent knee is another task.']
      : []),
    ...(motor.saturationCurrent === undefined
      ? [
          'No saturation current is known, so current is taken as proportional to torque: near the peak the loss is larger.',
        ]
      : []),
    ...(stallFactor !== undefined && Math.abs(stallFactor - STALL_FACTOR) > STALL_TOLERANCE
      ? [
          `The leg file says that the hottest phase takes ${stallFactor} times the mean loss at a standstill; three sinusoidal phases take 1.5 to 2 by electrical angle, and 2 is used.`,
        ]
      : []),
    ...(surfaceLimit === undefined
      ? [
          'No `surfaceLimit` is in the leg file, so whether the surface may be touched is unknown: enter the value you have read in the standard that applies.',
        ]
      : []),
  ];
}
