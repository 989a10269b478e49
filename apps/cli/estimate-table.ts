import {
  degFromRad,
  type EstimateError,
  type EstimateSettling,
  type Rad,
  type SlopeEstimate,
  type WalkEstimate,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { csv, table } from './table.ts';

/** What the command found; slopes and changes of the first task. */
export interface EstimateReport {
  readonly tasks: readonly WalkEstimate[];
  readonly slopes?: readonly SlopeEstimate[];
  readonly settling?: readonly EstimateSettling[];
  readonly leftOut: readonly { readonly task: string; readonly openBecause: string }[];
}

const degrees = (x: number, digits = 1): string => fixed(degFromRad(x as Rad), digits);
const percent = (x: number): string => fixed(100 * x, 1);
const worst = (of: readonly number[]): number => Math.max(...of.map(Math.abs));

/** One line first: how well speed and slope are known, and how soon after a change. */
export function estimateVerdict({ tasks, settling, leftOut }: EstimateReport): string {
  if (tasks.length === 0)
    return paragraph(
      `No speed or slope can be read: ${leftOut.map(({ task, openBecause }) => `${task}, ${openBecause}`).join('; ')}.`,
    );
  const refused = tasks.reduce((sum, { sensed }) => sum + sensed.refused, 0);
  const strides = worst((settling ?? []).flatMap(({ speed, incline }) => [speed, incline]));
  return paragraph(
    `Read while walking on the level: speed within ${percent(worst(tasks.map(({ sensed }) => sensed.speed)))} %, slope within ${degrees(worst(tasks.map(({ sensed }) => sensed.incline)))}°${refused === 0 ? '' : `; ${refused} stances refused`}; ${Number.isFinite(strides) ? `settled ${fixed(strides, 0)} strides after a change` : 'after a change it does not settle'}.`,
  );
}

/** Tasks, slopes, changes, what could not be judged, notes, cautions. */
export function estimateText({ tasks, slopes, settling, leftOut }: EstimateReport): string {
  const first = tasks[0];
  return [
    ...(first === undefined ? [] : [taskTable(tasks)]),
    ...(slopes === undefined ? [] : [slopeTable(first!.task, slopes)]),
    ...(settling === undefined ? [] : [settlingTable(first!.task, settling)]),
    ...(leftOut.length === 0
      ? []
      : [`Not judged\n${list(leftOut.map(({ task, openBecause }) => `${task}: ${openBecause}.`))}`]),
    list([
      ...(first === undefined
        ? []
        : [
            `Refused outside ${fixed(first.hull.speeds.from, 2)} … ${fixed(first.hull.speeds.to, 2)} m/s and ${degrees(first.hull.inclines.from, 0)} … ${degrees(first.hull.inclines.to, 0)}°; the last reading then stays and says that it is old.`,
          ]),
      'Speed of the leg: a published stride on a longer leg goes as much faster as the wearer is taller.',
      'Slopes are posed from the level stride, since no stride on a slope ships with thigh, knee and ankle: the whole leg leans, or the ankle alone bends. With the ankle alone the true speed is not known.',
      'Contact and toe-off are taken as known at once. Stairs, turns and standing up are not told from walking.',
      'DANGER: a slope misjudged is a foot that lands with its toe down. Show the reading on the bench before a controller follows it.',
    ]),
    CAUTION,
  ].join('\n\n');
}

function taskTable(tasks: readonly WalkEstimate[]): string {
  return [
    'Level ground: largest errors over the stances, every angle known and with the sensor’s errors',
    table(
      [
        { head: 'task', align: 'left' },
        { head: 'speed', unit: 'm/s' },
        { head: 'known: speed', unit: '%' },
        { head: 'slope', unit: '°' },
        { head: 'sensed: speed', unit: '%' },
        { head: 'slope', unit: '°' },
        { head: 'stride to stride', unit: '°' },
        { head: 'half way: speed', unit: '%' },
        { head: 'slope', unit: '°' },
        { head: 'refused', unit: 'stances' },
      ],
      tasks.map(({ task, speed, known, sensed }) => [
        task,
        fixed(speed, 2),
        percent(known.speed),
        degrees(known.incline),
        percent(sensed.speed),
        degrees(sensed.incline),
        degrees(sensed.inclineScatter, 2),
        percent(sensed.speedHalfway),
        degrees(sensed.inclineHalfway),
        `${sensed.refused} of ${sensed.stances}`,
      ]),
    ),
  ].join('\n');
}

function slopeTable(task: string, slopes: readonly SlopeEstimate[]): string {
  return [
    `${task} put on a slope`,
    table(
      [
        { head: 'slope', unit: '°' },
        { head: 'taken up by', align: 'left' },
        { head: 'known: slope', unit: '° off' },
        { head: 'speed', unit: '%' },
        { head: 'sensed: slope', unit: '° off' },
        { head: 'speed', unit: '%' },
        { head: 'refused', unit: 'stances' },
      ],
      slopes.map(({ incline, taken, known, sensed }) => [
        degrees(incline, 0),
        taken === 'leg' ? 'whole leg' : 'ankle',
        degrees(known.incline),
        percent(known.speed),
        degrees(sensed.incline),
        percent(sensed.speed),
        `${sensed.refused} of ${sensed.stances}`,
      ]),
    ),
  ].join('\n');
}

function settlingTable(task: string, settling: readonly EstimateSettling[]): string {
  return [
    `Changes within one stride, ${task} for the slopes: strides until it stays within 0.05 m/s and 0.5°, that stride counted`,
    table(
      [
        { head: 'change', align: 'left' },
        { head: 'speed', unit: 'strides' },
        { head: 'slope', unit: 'strides' },
        { head: 'readings', unit: 'm/s', align: 'left' },
        { head: '', unit: '°', align: 'left' },
      ],
      settling.map(({ change, speed, incline, readings }) => [
        change,
        fixed(speed, 0),
        fixed(incline, 0),
        readings.map((reading) => fixed(reading.speed, 2)).join(' '),
        readings.map((reading) => degrees(reading.incline)).join(' '),
      ]),
    ),
  ].join('\n');
}

/** One row a task on the level and on each slope; SI units. */
export function estimateCsv({ tasks, slopes }: EstimateReport): string {
  const row = (error: EstimateError) => [
    error.speed,
    error.incline,
    error.inclineScatter,
    error.speedHalfway,
    error.inclineHalfway,
    error.refused,
    error.stances,
  ];
  const names = [
    'speed',
    'incline_rad',
    'incline_scatter_rad',
    'speed_halfway',
    'incline_halfway_rad',
    'refused',
    'stances',
  ];
  return csv(
    [
      'task',
      'slope_rad',
      'taken_by',
      'speed_m_s',
      ...names.map((name) => `known_${name}`),
      ...names.map((name) => `sensed_${name}`),
    ],
    [
      ...tasks.map(({ task, speed, known, sensed }) => [
        task,
        0,
        'level',
        speed,
        ...row(known),
        ...row(sensed),
      ]),
      ...(slopes ?? []).map(({ incline, taken, known, sensed }) => [
        tasks[0]!.task,
        incline,
        taken,
        taken === 'leg' ? tasks[0]!.speed : undefined,
        ...row(known),
        ...row(sensed),
      ]),
    ],
  );
}
