import { type TaskSample, taskTrajectory, trajectoryForTask } from '../control/task-trajectory.ts';
import { periodicTrajectory, type Trajectory } from '../control/trajectory.ts';
import { sampleCurve } from '../gait/curve.ts';
import { taskStride } from '../gait/demand.ts';
import type { Stride, StrideCurve } from '../gait/stride.ts';
import type { StrideTask } from '../gait/task.ts';
import type { StudyInput } from './study-input.ts';

/** What a swing needs of a stride. */
interface WholeSwing {
  readonly thigh: StrideCurve;
  readonly knee: StrideCurve;
  readonly ankle: StrideCurve;
}

/** The trajectories that a leg would carry for one task, beside the stride that they stand for. */
export interface SwingPlan {
  readonly stride: Stride;
  /** The stride's own curves: what the thigh does, and what knee and ankle should. */
  readonly own: WholeSwing;
  readonly thigh: Trajectory;
  readonly knee: Trajectory;
  readonly ankle: Trajectory;
  /** How the trajectories were made, in words. */
  readonly from: string;
}

/** Harmonics of a trajectory: a stride of 1.1 s up to 7 Hz. Our choice, of the five to eight usual for knee and ankle. */
const HARMONICS = 8;
/** Speeds that a straight line over speed needs, so that it is more than two points joined. */
const LEAST_SPEEDS = 3;

function wholeSwing(stride: Stride): WholeSwing | { readonly openBecause: string } {
  const { thigh } = stride;
  const [knee, ankle] = [stride.joints.knee?.angle, stride.joints.ankle?.angle];
  if (thigh !== undefined && knee !== undefined && ankle !== undefined) return { thigh, knee, ankle };
  const lacks = [
    ...(thigh === undefined ? ['thigh'] : []),
    ...(knee === undefined ? ['knee'] : []),
    ...(ankle === undefined ? ['ankle'] : []),
  ];
  return { openBecause: `its stride has no ${lacks.join(' and no ')} angle` };
}

const fitted = (curve: StrideCurve): Trajectory => periodicTrajectory(sampleCurve(curve).value, HARMONICS);

type Sources = readonly { readonly speed: number; readonly swing: WholeSwing }[];

/** Every level-walking task of the study whose speed and whole swing are known. */
function levelWalking(input: StudyInput): Sources {
  return input.tasks.flatMap((task) => {
    if (task.kind !== 'stride') return [];
    const { stride } = taskStride(task, input.strides, input.wearer);
    const swing = wholeSwing(stride);
    if (stride.activity !== 'level walking' || stride.speed === undefined || 'openBecause' in swing)
      return [];
    return [{ speed: stride.speed, swing }];
  });
}

/**
 * Trajectories of thigh, knee and ankle for one task. Level walking: one fit over all level-walking tasks of the study, linear in
 * speed, so that the leg carries one table for every speed and this task is followed as well as that allows. Anything else: the
 * stride's own curves. Open where the stride lacks an angle.
 */
export function swingPlan(input: StudyInput, task: StrideTask): SwingPlan | { readonly openBecause: string } {
  const { stride } = taskStride(task, input.strides, input.wearer);
  const own = wholeSwing(stride);
  if ('openBecause' in own) return own;
  const sources = stride.activity === 'level walking' ? levelWalking(input) : [];
  const speeds = new Set(sources.map(({ speed }) => speed));
  if (stride.speed === undefined || speeds.size < LEAST_SPEEDS) {
    const alone = { thigh: fitted(own.thigh), knee: fitted(own.knee), ankle: fitted(own.ankle) };
    return { stride, own, ...alone, from: 'this stride alone' };
  }
  const centre = [...speeds].reduce((sum, speed) => sum + speed, 0) / speeds.size;
  const at = (angle: keyof WholeSwing): Trajectory => {
    const samples = sources.map(
      ({ speed, swing }): TaskSample => ({ task: [speed], trajectory: fitted(swing[angle]) }),
    );
    return trajectoryForTask(taskTrajectory(samples, [centre]), [stride.speed!]).trajectory;
  };
  return {
    stride,
    own,
    thigh: at('thigh'),
    knee: at('knee'),
    ankle: at('ankle'),
    from: `${sources.length} level-walking tasks, linear in speed`,
  };
}
