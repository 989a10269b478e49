import {
  type Deg,
  type Demand,
  degFromRad,
  type JointDemand,
  type JointName,
  type PeaksDemand,
  type Rad,
  type Range,
  type StandingDemand,
  type StrideDemand,
  shownMoment,
} from '@striderule/engine';
import { fixed, GAP } from './number-text.ts';
import { csv, table } from './table.ts';

/** Angular speed as people read it, °/s. */
export const degPerSecond = (speed: number): Deg => degFromRad(speed as Rad);

/** The moment where its magnitude peaks, with the sign in which it is printed. */
const peakShown = ({ moment, peak }: JointDemand): number =>
  shownMoment(moment[Math.round(peak.momentPercent * 2)] ?? Number.NaN);

type Row = readonly [demand: StrideDemand, joint: JointName, asked: JointDemand];

const rowsOf = (demands: readonly Demand[], joints: readonly JointName[]): readonly Row[] =>
  demands.flatMap((demand) =>
    demand.kind === 'stride'
      ? joints.flatMap((joint) => {
          const asked = demand.joints[joint];
          return asked === undefined ? [] : [[demand, joint, asked] as const];
        })
      : [],
  );

/** One line first: the most that each driven joint is asked for, and in which task. */
export function verdict(demands: readonly Demand[], joints: readonly JointName[]): string {
  const parts = joints.flatMap((joint) => {
    const all = demands.flatMap((demand): (readonly [number, string])[] => {
      if (demand.kind === 'standing') {
        return joint === 'ankle' ? [[Math.abs(demand.ankleMoment), demand.task.id]] : [];
      }
      const asked = demand.joints[joint];
      if (asked === undefined) return [];
      const moment = 'peak' in asked ? asked.peak.moment : asked.moment?.high;
      return moment === undefined || Number.isNaN(moment) ? [] : [[moment, demand.task.id]];
    });
    if (all.length === 0) return [];
    const [moment, task] = all.reduce((most, next) => (next[0] > most[0] ? next : most));
    return [`${joint} ${fixed(moment, 0)} N·m (${task})`];
  });
  return parts.length === 0 ? 'No moment is known for what was asked.' : `Most asked: ${parts.join(', ')}.`;
}

/** All tables of the tasks: strides, then peaks only, then standing, then what 100 g cost, then the notes. */
export function summaryTables(demands: readonly Demand[], joints: readonly JointName[]): string {
  const peaks = demands.filter((demand) => demand.kind === 'peaks');
  const standing = demands.filter((demand) => demand.kind === 'standing');
  return [
    strideTable(rowsOf(demands, joints)),
    peaks.length === 0 ? '' : `Peaks only: no curve, so no heat and no energy\n${peaksTable(peaks, joints)}`,
    standing.length === 0 || !joints.includes('ankle') ? '' : standingTable(standing),
    massTable(demands),
    'Moments: extensor and plantarflexor positive. — : not published, so not computed.\n' +
      'striderule demand show --task <id> draws one stride and prints its sources and notes.',
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

function strideTable(rows: readonly Row[]): string {
  if (rows.length === 0) return '';
  return table(
    [
      { head: 'task', align: 'left' },
      { head: 'joint', align: 'left' },
      { head: 'speed', unit: 'm/s' },
      { head: 'stride', unit: 's' },
      { head: 'peak moment', unit: 'N·m' },
      { head: 'at', unit: '%' },
      { head: 'peak speed', unit: '°/s' },
      { head: 'at', unit: '%' },
      { head: 'generated', unit: 'W' },
      { head: 'absorbed', unit: 'W' },
      { head: 'work +', unit: 'J' },
      { head: 'work −', unit: 'J' },
    ],
    rows.map(([demand, joint, asked], k) => {
      const first = rows[k - 1]?.[0] !== demand;
      return [
        first ? demand.task.id : '',
        joint,
        first ? fixed(demand.speed, 2) : '',
        first ? fixed(demand.strideTime, 2) : '',
        fixed(peakShown(asked), 1),
        fixed(asked.peak.momentPercent, 1),
        fixed(degPerSecond(asked.peak.speed), 0),
        fixed(asked.peak.speedPercent, 1),
        fixed(asked.peak.generation, 0),
        fixed(asked.peak.absorption, 0),
        fixed(asked.work.positive, 1),
        fixed(asked.work.negative, 1),
      ];
    }),
  );
}

const rangeText = (range: Range | undefined, shown: (value: number) => number, decimals: number): string => {
  if (range === undefined) return GAP;
  const [low, high] = [fixed(shown(range.low), decimals), fixed(shown(range.high), decimals)];
  return low === high ? low : `${low}–${high}`;
};

function peaksTable(demands: readonly PeaksDemand[], joints: readonly JointName[]): string {
  return table(
    [
      { head: 'task', align: 'left' },
      { head: 'joint', align: 'left' },
      { head: '|moment|', unit: 'N·m' },
      { head: '|speed|', unit: '°/s' },
      { head: 'what it does', align: 'left' },
    ],
    demands.flatMap((demand) =>
      joints.flatMap((joint) => {
        const asked = demand.joints[joint];
        if (asked === undefined) return [];
        const published = demand.task.kind === 'peaks' ? demand.task.joints[joint] : undefined;
        return [
          [
            demand.task.id,
            joint,
            rangeText(asked.moment, (moment) => moment, 0),
            rangeText(asked.speed, degPerSecond, 0),
            published?.moment?.action ?? '',
          ],
        ];
      }),
    ),
  );
}

function standingTable(demands: readonly StandingDemand[]): string {
  return table(
    [
      { head: 'task', align: 'left' },
      { head: 'ankle moment', unit: 'N·m' },
      { head: 'least ankle stiffness', unit: 'N·m/rad' },
      { head: 'for', unit: 's' },
    ],
    demands.map((demand) => [
      demand.task.id,
      fixed(shownMoment(demand.ankleMoment), 1),
      fixed(demand.ankleStiffness, 0),
      fixed(demand.duration, 0),
    ]),
  );
}

function massTable(demands: readonly Demand[]): string {
  const costs = demands.flatMap((demand) =>
    demand.kind === 'stride' ? demand.massBudget.map((cost) => [demand.task.id, cost] as const) : [],
  );
  if (costs.length === 0) return '';
  const grams = fixed(costs[0]![1].added * 1000, 0);
  const rows = costs.map(([task, cost], k) => [
    costs[k - 1]?.[0] === task ? '' : task,
    cost.where,
    fixed(cost.hipMoment, 2),
    fixed(cost.kneeMoment, 2),
    fixed(cost.hipWork, 2),
    fixed(cost.kneeWork, 2),
  ]);
  return `What ${grams} g cost in swing, at unchanged motion\n${table(
    [
      { head: 'task', align: 'left' },
      { head: 'at the', align: 'left' },
      { head: 'hip moment', unit: 'N·m' },
      { head: 'knee moment', unit: 'N·m' },
      { head: 'hip work', unit: 'J' },
      { head: 'knee work', unit: 'J' },
    ],
    rows,
  )}`;
}

/** The stride tasks as CSV. */
export function summaryCsv(demands: readonly Demand[], joints: readonly JointName[]): string {
  return csv(
    [
      'task',
      'joint',
      'speed (m/s)',
      'stride time (s)',
      'peak moment (N·m; extensor and plantarflexor positive)',
      'at (%)',
      'peak speed (deg/s)',
      'at (%)',
      'peak generation (W)',
      'peak absorption (W)',
      'positive work (J)',
      'negative work (J)',
    ],
    rowsOf(demands, joints).map(([demand, joint, asked]) => [
      demand.task.id,
      joint,
      demand.speed,
      demand.strideTime,
      peakShown(asked),
      asked.peak.momentPercent,
      degPerSecond(asked.peak.speed),
      asked.peak.speedPercent,
      asked.peak.generation,
      asked.peak.absorption,
      asked.work.positive,
      asked.work.negative,
    ]),
  );
}
