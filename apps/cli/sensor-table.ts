import { degFromRad, type Rad, type SensedError, type SensorBudget } from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { csv, table } from './table.ts';

/** What the command found: the budget of the first task, and all errors together for each. */
export interface SensorReport {
  readonly budget?: SensorBudget;
  readonly tasks: readonly { readonly task: string; readonly error: SensedError }[];
  readonly leftOut: readonly { readonly task: string; readonly openBecause: string }[];
}

const degrees = (x: number, digits = 2): string => fixed(degFromRad(x as Rad), digits);
const percent = (x: number): string => fixed(100 * x, 2);
const millimetres = (x: number): string => fixed(1e3 * x, 1);

/** One line first: how far the thigh, the phase and the foot are off, and what to mend first. */
export function sensorVerdict({ budget, leftOut }: SensorReport): string {
  if (budget === undefined)
    return paragraph(
      `No thigh sensor can be judged: ${leftOut.map(({ task, openBecause }) => `${task}, ${openBecause}`).join('; ')}.`,
    );
  const { together: e, improveFirst, task } = budget;
  return paragraph(
    `Thigh read ${degrees(e.thigh.rms, 1)}° RMS off in ${task}: phase by up to ${fixed(100 * e.phase.worst, 1)} % of a stride, foot by up to ${fixed(1e3 * e.path, 0)} mm on its way and ${fixed(1e3 * e.placement, 0)} mm where it is put down. Improve first: ${improveFirst}.`,
  );
}

/** The budget, the tasks, the time of the correction, what could not be judged, notes, cautions. */
export function sensorText({ budget, tasks, leftOut }: SensorReport): string {
  return [
    ...(budget === undefined ? [] : [budgetTable(budget), taskTable(tasks), timeTable(budget)]),
    ...(leftOut.length === 0
      ? []
      : [`Not judged\n${list(leftOut.map(({ task, openBecause }) => `${task}: ${openBecause}.`))}`]),
    list([
      ...(budget === undefined ? [] : [`${budget.hip}.`]),
      'Noise, bias, drift and pose are off by as much as the leg file says, to the side that moves the phase more; a bias of the gyro is learned while the leg stands, and as it walks.',
      'The foot is where its commands put it, at the same thigh: of commands, as `control swing`.',
      'DANGER: a thigh that is misread bends the knee at the wrong time. Unplug the sensor on the bench before a person wears it.',
    ]),
    CAUTION,
  ].join('\n\n');
}

const COLUMNS = [
  { head: 'thigh RMS', unit: '°' },
  { head: 'mean', unit: '°' },
  { head: 'worst', unit: '°' },
  { head: 'phase', unit: '% stride' },
  { head: 'foot on its way', unit: 'mm' },
  { head: 'put down', unit: 'mm' },
] as const;

const cells = ({ thigh, phase, path, placement }: SensedError): string[] => [
  degrees(thigh.rms),
  degrees(thigh.mean),
  degrees(thigh.worst),
  percent(phase.worst),
  millimetres(path),
  millimetres(placement),
];

function budgetTable({ task, together, sources }: SensorBudget): string {
  return [
    `Each error alone, ${task}, largest first; what mending it leaves of the thigh’s error`,
    table(
      [{ head: 'error', align: 'left' }, ...COLUMNS, { head: 'mended, thigh', unit: '° RMS' }],
      [
        ...sources.map(({ source, alone, without }) => [source, ...cells(alone), degrees(without.thigh.rms)]),
        ['all together', ...cells(together), ''],
      ],
    ),
  ].join('\n');
}

function taskTable(tasks: SensorReport['tasks']): string {
  return [
    'All errors together',
    table(
      [{ head: 'task', align: 'left' }, ...COLUMNS],
      tasks.map(({ task, error }) => [task, ...cells(error)]),
    ),
  ].join('\n');
}

function timeTable({ task, times }: SensorBudget): string {
  return [
    `Time of the correction by the accelerometer, ${task}: short lets its accelerations in, long learns a bias slowly`,
    table(
      [
        { head: 'time', unit: 's' },
        { head: 'thigh RMS', unit: '°' },
      ],
      times.map(({ time, thigh }) => [fixed(time, 0), degrees(thigh)]),
    ),
  ].join('\n');
}

/** One row an error of the budget, then all together for each task; SI units. */
export function sensorCsv({ budget, tasks }: SensorReport): string {
  const row = ({ thigh, phase, path, placement }: SensedError) => [
    thigh.rms,
    thigh.mean,
    thigh.worst,
    phase.rms,
    phase.worst,
    path,
    placement,
  ];
  return csv(
    [
      'task',
      'error',
      'thigh_rms_rad',
      'thigh_mean_rad',
      'thigh_worst_rad',
      'phase_rms',
      'phase_worst',
      'path_m',
      'placement_m',
      'thigh_rms_mended_rad',
    ],
    [
      ...(budget?.sources ?? []).map(({ source, alone, without }) => [
        budget!.task,
        source,
        ...row(alone),
        without.thigh.rms,
      ]),
      ...tasks.map(({ task, error }) => [task, 'all', ...row(error), undefined]),
    ],
  );
}
