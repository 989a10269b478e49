import type { Metric } from './metric.ts';
import type { MetricFunction } from './metric-value.ts';
import { stanceSchedule } from './stance-schedule.ts';

/** The task that a schedule by sub-phases follows worst: one schedule for all level walking, or for the task that is named. */
const fitError: MetricFunction = (input, design, joint, only) => {
  const schedule = stanceSchedule(input, design, joint, only === undefined ? undefined : [only]);
  if ('openBecause' in schedule) return schedule;
  const { tasks, leftOut } = schedule;
  const worst = tasks.reduce((w, task) => (task.share > w.share ? task : w));
  const at = worst.subphases.reduce((w, { share }, p, all) => (share > all[w]!.share ? p : w), 0);
  const without =
    leftOut.length === 0
      ? ''
      : `; left out: ${leftOut.map(({ title, because }) => `${title}, ${because}`).join('; ')}`;
  return {
    value: worst.share,
    at: `${worst.title}, most in ${schedule.subphases[at]!.name}${tasks.length > 1 ? `, one schedule for ${tasks.length} tasks` : ''}${without}`,
    task: worst.task,
  };
};

/** How well springs and dampers stand for the stance that is asked. */
export const stanceMetrics: Readonly<Record<string, Metric>> = {
  stanceFitError: {
    title: 'Residual of the stance schedule',
    kind: 'pure number',
    unit: '1',
    formula:
      'RMS(−K·θ + c − B·θ̇ − τ)/max|τ| over stance, K, c, B of least squares by sub-phase within bounds',
    chapter: 'control.md#stance',
    reads: ['range.from', 'range.to', 'wearer.mass', 'wearer.height'],
    cautions: [
      'A quasi-stiffness, fitted to walking: it says how well the schedule repeats the mean stride, not what the joint does when it is pushed.',
      'What is rendered through motor, delay and gears differs from what is scheduled. Try it on a tethered bench with an emergency stop first; gains on a person are a matter for the ethics board and licensed practice.',
    ],
    value: fitError,
  },
};
