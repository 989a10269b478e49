import { driveLoad, type JointTrajectory } from '../drive/drive-load.ts';
import type { JointDrive, ParallelSpring } from '../drive/leg-drive.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { minimum } from '../numeric/minimum.ts';
import type { Rad } from '../quantity/angle.ts';
import { type Demands, type DesignResult, dutyTime, evaluateDesign } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** Pulls both ways over the whole range, or only above its rest angle, as a bumper or a one-sided spring does. */
export type SpringKind = 'two-sided' | 'one-sided';

/** What one spring makes of the joint. */
export interface SpringFigures {
  /** Absent: no spring. */
  readonly spring?: ParallelSpring;
  /** RMS motor torque over the schedule, N·m. */
  readonly rmsTorque: number;
  /** Largest motor torque of any task with a curve, N·m, and that task; NaN and no task where none has moments. */
  readonly peakTorque: number;
  readonly peakTask?: string;
  /** Largest torque of the spring itself over every task with a motion, N·m at the joint: what its mount must carry. */
  readonly springTorque: number;
  /** Most energy stored, J. */
  readonly springEnergy: number;
}

/** A parallel spring as a choice. */
export interface SpringChoice {
  readonly kind: SpringKind;
  readonly none: SpringFigures;
  /** As the leg file has it; absent where it has none. */
  readonly asIs?: SpringFigures;
  /** Least RMS motor torque over the schedule. */
  readonly best: SpringFigures;
  /** By stiffness around the best, each at the rest angle that suits it best. */
  readonly sweep: readonly SpringFigures[];
}

/** Multiples of the best stiffness that the sweep shows. */
const SWEEP = [0.25, 0.5, 0.75, 1, 1.25, 1.5, 2];

interface Weighted {
  readonly trajectory: JointTrajectory;
  readonly time: number;
}

/**
 * The parallel spring of least RMS motor torque over the schedule, by search over stiffness and rest angle.
 *
 *     τ_spring = −k·(θ − θ_0)   within the range of motion; one-sided: only where θ ≥ θ_0
 *
 * The objective is `driveLoad`'s, with mesh loss by direction, so there is no closed form; where η_f = η_b = 1 and the spring is
 * two-sided it is the weighted least-squares fit of the demand against the angle. Stiffness is searched from 0 to twice the largest
 * moment over the least angle that the tasks use. Standing is not counted: at which angle somebody stands is not known. What the
 * unpowered joint does with a spring is another question: it comes to rest at θ_0, not where gravity leaves it.
 *
 * Undefined where the leg does not drive the joint or no task of the schedule has a curve with moments.
 */
export function springChoice(
  input: StudyInput,
  demands: Demands,
  joint: DrivenJoint,
  kind: SpringKind,
): SpringChoice | undefined {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return undefined;
  const tasks: Weighted[] = Object.values(demands).flatMap((demand) => {
    const trajectory = demand.kind === 'stride' ? demand.joints[joint] : undefined;
    const time = dutyTime(demand);
    return trajectory === undefined ||
      time === undefined ||
      time === 0 ||
      Number.isNaN(trajectory.peak.moment)
      ? []
      : [{ trajectory, time }];
  });
  if (tasks.length === 0) return undefined;
  const { parallelSpring: asIs, ...bare } = drive;
  const rms = (spring: ParallelSpring): number => {
    let heat = 0;
    let time = 0;
    for (const { trajectory, time: seconds } of tasks) {
      const one = driveLoad({ ...bare, parallelSpring: spring }, trajectory, input.leg.busVoltage).rmsTorque;
      heat += seconds * one * one;
      time += seconds;
    }
    return Math.sqrt(heat / time);
  };
  const { from, to } = drive.range;
  const made = (stiffness: number, rest: number): ParallelSpring => ({
    stiffness,
    equilibrium: rest as Rad,
    engaged: { from: kind === 'one-sided' ? (rest as Rad) : from, to },
  });
  const restFor = (stiffness: number): { readonly at: number; readonly value: number } =>
    minimum((rest) => rms(made(stiffness, rest)), from, to, { tolerance: 1e-5 });
  const most = stiffest(tasks);
  const { at: stiffness } = minimum((k) => restFor(k).value, 0, most, { tolerance: 1e-4 * most });
  const figures = (spring: ParallelSpring | undefined) => figuresOf(input, demands, joint, bare, spring);
  return {
    kind,
    none: figures(undefined),
    ...(asIs !== undefined && { asIs: figures(asIs) }),
    best: figures(made(stiffness, restFor(stiffness).at)),
    sweep: SWEEP.map((factor) => figures(made(factor * stiffness, restFor(factor * stiffness).at))),
  };
}

/** Twice the largest moment over the smallest range of angle of a task: far above what any of them could use. */
function stiffest(tasks: readonly Weighted[]): number {
  let moment = 0;
  let angle = Number.POSITIVE_INFINITY;
  for (const { trajectory } of tasks) {
    moment = trajectory.moment.reduce((most, m) => Math.max(most, Math.abs(m)), moment);
    let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (const q of trajectory.angle) {
      if (q < low) low = q;
      if (q > high) high = q;
    }
    angle = Math.min(angle, high - low);
  }
  return (2 * moment) / angle;
}

function figuresOf(
  input: StudyInput,
  demands: Demands,
  joint: DrivenJoint,
  bare: JointDrive,
  spring: ParallelSpring | undefined,
): SpringFigures {
  const drive: JointDrive = spring === undefined ? bare : { ...bare, parallelSpring: spring };
  const design: DesignResult = evaluateDesign(
    { ...input, leg: { ...input.leg, joints: { [joint]: drive } } },
    demands,
  );
  let peakTorque = Number.NaN;
  let peakTask: string | undefined;
  let stretch = 0;
  for (const [id, demand] of Object.entries(demands)) {
    const load = design.loads[id]?.[joint];
    if (load === undefined || demand.kind !== 'stride') continue;
    if (spring !== undefined)
      for (const q of demand.joints[joint]!.angle) {
        // an angle beyond the spring's end has passed that end
        const passed = Math.min(spring.engaged.to, Math.max(spring.engaged.from, q));
        stretch = Math.max(stretch, Math.abs(passed - spring.equilibrium));
      }
    if (Number.isNaN(load.peakTorque) || load.peakTorque <= peakTorque) continue;
    peakTorque = load.peakTorque;
    peakTask = id;
  }
  const stiffness = spring?.stiffness ?? 0;
  return {
    ...(spring !== undefined && { spring }),
    rmsTorque: design.schedule[joint]!.rmsTorque,
    peakTorque,
    ...(peakTask !== undefined && { peakTask }),
    springTorque: stiffness * stretch,
    springEnergy: (stiffness * stretch * stretch) / 2,
  };
}
