import { leastSquares } from '../numeric/least-squares.ts';
import type { Trajectory } from './trajectory.ts';

/** A trajectory that changes with the task, linearly in each variable, such as speed and incline. */
export interface TaskTrajectory {
  /** Where each variable is counted from. */
  readonly centre: readonly number[];
  /** Least and largest of each variable among the tasks that were fitted. */
  readonly range: readonly { readonly low: number; readonly high: number }[];
  /** The trajectory at the centre, then its change per unit of each variable. */
  readonly terms: readonly Trajectory[];
}

/** A trajectory with its task: one number for each variable. */
export interface TaskSample {
  readonly task: readonly number[];
  readonly trajectory: Trajectory;
}

/**
 * One fit over tasks.
 *
 *     q(s; v, γ …) = Q_0(s) + (v − v_0)·Q_1(s) + (γ − γ_0)·Q_2(s) …
 *
 * Each Q is a trajectory. With even samples of each stride the rows of the whole least-squares problem are the products of task
 * and phase, so it falls into one small fit over the tasks for each number of the trajectory. RangeError where the tasks do not
 * tell the variables apart.
 */
export function taskTrajectory(samples: readonly TaskSample[], centre: readonly number[]): TaskTrajectory {
  const rows = samples.map(({ task }) => [1, ...task.map((x, k) => x - centre[k])]);
  const length = samples[0].trajectory.length;
  const terms = Array.from({ length: centre.length + 1 }, () => new Float64Array(length));
  for (let i = 0; i < length; i++) {
    const fit = leastSquares(
      rows,
      samples.map(({ trajectory }) => trajectory[i]),
    );
    for (let k = 0; k < terms.length; k++) terms[k][i] = fit[k];
  }
  const range = centre.map((_, k) => ({
    low: Math.min(...samples.map(({ task }) => task[k])),
    high: Math.max(...samples.map(({ task }) => task[k])),
  }));
  return { centre, range, terms };
}

/**
 * The trajectory of one task, and which of its variables lie outside what was fitted: there it is drawn on in a straight line, and
 * nobody has seen a person walk like that.
 */
export function trajectoryForTask(
  of: TaskTrajectory,
  task: readonly number[],
): { readonly trajectory: Trajectory; readonly outside: readonly number[] } {
  const trajectory = Float64Array.from(of.terms[0]);
  task.forEach((x, k) => {
    const term = of.terms[k + 1];
    for (let i = 0; i < trajectory.length; i++) trajectory[i] += (x - of.centre[k]) * term[i];
  });
  const outside = task.flatMap((x, k) => (x >= of.range[k].low && x <= of.range[k].high ? [] : [k]));
  return { trajectory, outside };
}
