import {
  type TaskSample,
  type TaskTrajectory,
  taskTrajectory,
  trajectoryForTask,
} from '../control/task-trajectory.ts';
import { periodicTrajectory, type Trajectory } from '../control/trajectory.ts';
import { sampleCurve } from '../gait/curve.ts';
import { taskStride } from '../gait/demand.ts';
import type { Stride, StrideCurve } from '../gait/stride.ts';
import type { StudyInput } from './study-input.ts';

type Open = { readonly openBecause: string };

/** What a swing needs of a stride. */
export interface WholeSwing {
  readonly thigh: StrideCurve;
  readonly knee: StrideCurve;
  readonly ankle: StrideCurve;
}

/** Trajectories of thigh, knee and ankle over the stride. */
export type SwingTrajectories = { readonly [angle in keyof WholeSwing]: Trajectory };

/** One fit over a study's walking strides. */
export interface SwingFamily {
  /** Strides that were fitted. */
  readonly count: number;
  /** What it is linear in, in the order of the fits' variables: speed, m/s, and incline, rad up ahead. */
  readonly by: readonly ['speed'] | readonly ['speed', 'incline'];
  readonly speeds: { readonly low: number; readonly high: number };
  readonly inclines: { readonly low: number; readonly high: number };
  readonly fits: { readonly [angle in keyof WholeSwing]: TaskTrajectory };
}

/** Harmonics of a trajectory: a stride of 1.1 s up to 7 Hz. Our choice, of the five to eight usual for knee and ankle. */
const HARMONICS = 8;
/** Values that a straight line over speed or incline needs, so that it is more than two points joined. */
const LEAST_VALUES = 3;

const ANGLES = ['thigh', 'knee', 'ankle'] as const;

/** The three angles of a stride, or which it lacks. */
export function wholeSwing(stride: Stride): WholeSwing | Open {
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

export const fittedCurve = (curve: StrideCurve): Trajectory =>
  periodicTrajectory(sampleCurve(curve).value, HARMONICS);

/** rad up ahead: what a stride says, 0 of level walking; undefined where nobody says. */
export const inclineOf = ({ incline, activity }: Stride): number | undefined =>
  incline ?? (activity === 'level walking' ? 0 : undefined);

interface Source {
  readonly speed: number;
  readonly incline: number;
  readonly swing: WholeSwing;
}

/** Every walking task of the study whose speed, incline and whole swing are known. */
function walkingStrides(input: StudyInput): readonly Source[] {
  return input.tasks.flatMap((task) => {
    if (task.kind !== 'stride') return [];
    const { stride } = taskStride(task, input.strides, input.wearer);
    const incline = inclineOf(stride);
    const swing = wholeSwing(stride);
    if (incline === undefined || stride.speed === undefined || 'openBecause' in swing) return [];
    return [{ speed: stride.speed, incline, swing }];
  });
}

const different = (values: readonly number[]): readonly number[] => [...new Set(values)];
const mean = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length;
const range = (values: readonly number[]) => ({ low: Math.min(...values), high: Math.max(...values) });

/**
 * The study's walking as one fit: linear in speed and incline where its strides have three of each and tell the two apart, else in speed alone
 * over those on the level. Open where they have fewer than three speeds.
 */
export function swingFamily(input: StudyInput): SwingFamily | Open {
  const all = walkingStrides(input);
  if (different(all.map(({ incline }) => incline)).length >= LEAST_VALUES) {
    const both = fitted(all, ['speed', 'incline']);
    if (both !== undefined) return both;
  }
  const level = all.filter(({ incline }) => incline === 0);
  const speeds = different(level.map(({ speed }) => speed)).length;
  return (
    fitted(level, ['speed']) ?? {
      openBecause: `the study has whole level walking at ${speeds} speed${speeds === 1 ? '' : 's'}, and a line over speed needs ${LEAST_VALUES}`,
    }
  );
}

function fitted(sources: readonly Source[], by: SwingFamily['by']): SwingFamily | undefined {
  const speeds = different(sources.map(({ speed }) => speed));
  if (speeds.length < LEAST_VALUES) return undefined;
  const centre = by.map((name) => mean(different(sources.map((source) => source[name]))));
  const of = (angle: keyof WholeSwing): TaskTrajectory =>
    taskTrajectory(
      sources.map(
        (source): TaskSample => ({
          task: by.map((name) => source[name]),
          trajectory: fittedCurve(source.swing[angle]),
        }),
      ),
      centre,
    );
  try {
    return {
      count: sources.length,
      by,
      speeds: range(speeds),
      inclines: range(sources.map(({ incline }) => incline)),
      fits: { thigh: of('thigh'), knee: of('knee'), ankle: of('ankle') },
    };
  } catch (error) {
    // the strides do not tell speed and incline apart
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

const degrees = (x: number): string => ((180 / Math.PI) * x).toFixed(1);

/** Where a walk is asked for: m/s, and rad up ahead. */
export interface Walk {
  readonly speed: number;
  readonly incline: number;
}

/** A family's trajectories for one walk; beyond the fitted speeds in a straight line on. */
export function familyAt({ by, fits }: SwingFamily, at: Walk): SwingTrajectories {
  const task = by.map((name) => at[name]);
  const [thigh, knee, ankle] = ANGLES.map((angle) => trajectoryForTask(fits[angle], task).trajectory);
  return { thigh, knee, ankle };
}

/** Whether an incline was fitted. */
export const covers = ({ inclines }: SwingFamily, incline: number): boolean =>
  incline >= inclines.low && incline <= inclines.high;

/**
 * Trajectories of the study's walking at a speed and on an incline that no task need have. Open beyond what was fitted, in either: nobody
 * has walked there.
 */
export function swingAt(input: StudyInput, at: Walk): (SwingTrajectories & { readonly from: string }) | Open {
  const family = swingFamily(input);
  if ('openBecause' in family) return family;
  const { speeds, inclines } = family;
  if (!covers(family, at.incline))
    return {
      openBecause: `an incline of ${degrees(at.incline)}° was not fitted: the strides that were fitted were walked ${
        family.by.length === 1 ? 'on the level' : `on ${degrees(inclines.low)} to ${degrees(inclines.high)}°`
      }`,
    };
  if (!(at.speed >= speeds.low && at.speed <= speeds.high))
    return {
      openBecause: `${at.speed.toFixed(2)} m/s was not fitted: the strides that were fitted were walked at ${speeds.low.toFixed(2)} to ${speeds.high.toFixed(2)} m/s`,
    };
  return { ...familyAt(family, at), from: familyWords(family) };
}

/** How a family was made, in words. */
export function familyWords({ count, by, inclines }: SwingFamily): string {
  return by.length === 1
    ? `${count} level-walking tasks, linear in speed`
    : `${count} walking tasks, linear in speed and incline, ${degrees(inclines.low)} to ${degrees(inclines.high)}°`;
}
