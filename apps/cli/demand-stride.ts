import {
  degFromRad,
  type JointDemand,
  type JointName,
  type Rad,
  SHOWN_MOMENT_SIGN,
  type StrideDemand,
  shownMoment,
} from '@striderule/engine';
import { degPerSecond } from './demand-summary.ts';
import { fixed, GAP } from './number-text.ts';
import { list } from './paragraph.ts';
import { strideAxis, strideScale } from './scales.ts';
import { csv, table } from './table.ts';

/** What is drawn of a joint, in the units and signs in which it is read. */
interface Trace {
  readonly name: string;
  readonly unit: string;
  readonly csvUnit: string;
  readonly decimals: number;
  readonly of: (asked: JointDemand) => Float64Array;
}

const TRACES: readonly Trace[] = [
  {
    name: 'angle',
    unit: '°',
    csvUnit: 'deg',
    decimals: 1,
    of: (asked) => asked.angle.map((x) => degFromRad(x as Rad)),
  },
  {
    name: 'speed',
    unit: '°/s',
    csvUnit: 'deg/s',
    decimals: 0,
    of: (asked) => asked.velocity.map((x) => degPerSecond(x)),
  },
  { name: 'moment', unit: 'N·m', csvUnit: 'N·m', decimals: 1, of: (asked) => asked.moment.map(shownMoment) },
  {
    name: 'human moment',
    unit: 'N·m',
    csvUnit: 'N·m',
    decimals: 1,
    of: (asked) => asked.humanMoment.map(shownMoment),
  },
  {
    name: 'device moment',
    unit: 'N·m',
    csvUnit: 'N·m',
    decimals: 1,
    of: (asked) => asked.deviceMoment.map(shownMoment),
  },
  { name: 'power', unit: 'W', csvUnit: 'W', decimals: 0, of: (asked) => asked.power },
];

const DRAWN = TRACES.filter(({ name }) => !name.includes(' '));

const headOf = (demand: StrideDemand): string =>
  `${demand.task.id}: ${demand.task.title}, ${fixed(demand.speed, 2)} m/s, stride ${fixed(demand.strideTime, 2)} s, ` +
  `stance to ${fixed(demand.stance * 100, 1)} %`;

const notesOf = (demand: StrideDemand, joints: readonly JointName[]): string =>
  list([
    ...joints.flatMap((joint) => (demand.joints[joint]?.scaleNotes ?? []).map((note) => `${joint}: ${note}`)),
    ...demand.notes,
  ]);

/** The joints' curves as thin scales on one stride axis, least and greatest at their ends, and every note. */
export function strideDrawing(demand: StrideDemand, joints: readonly JointName[]): string {
  const { ticks, numerals } = strideAxis(demand.stance);
  const rows = joints.flatMap((joint) => {
    const asked = demand.joints[joint];
    if (asked === undefined) return [];
    return DRAWN.map(({ name, unit, decimals, of }, k) => {
      const samples = of(asked);
      const known = samples.filter((value) => !Number.isNaN(value));
      const ends =
        known.length === 0
          ? [GAP, GAP]
          : [Math.min(...known), Math.max(...known)].map((x) => fixed(x, decimals));
      const picture = known.length === 0 ? 'not published' : strideScale(samples);
      return [
        k === 0 ? joint : '',
        name,
        unit,
        ends[0]!,
        picture,
        ends[1]!,
        name === 'moment' ? SHOWN_MOMENT_SIGN[joint] : '',
      ];
    });
  });
  const drawing = table(
    [
      { head: 'joint', align: 'left' },
      { head: '', align: 'left' },
      { head: 'unit', align: 'left' },
      { head: 'least' },
      { head: '0–100 % of the stride, ┃ toe-off', align: 'left' },
      { head: 'greatest' },
      { head: '', align: 'left' },
    ],
    [...rows, ['', '', '', '', ticks, '', ''], ['', '', '', '', numerals, '', '']],
  );
  return `${headOf(demand)}\n\n${drawing}\n\n${notesOf(demand, joints)}`;
}

/** Every value at one instant of the stride. */
export function instantTable(demand: StrideDemand, joints: readonly JointName[], percent: number): string {
  const sample = percent * 2;
  const part = percent <= demand.stance * 100 ? 'stance' : 'swing';
  const rows = joints.flatMap((joint) => {
    const asked = demand.joints[joint];
    if (asked === undefined) return [];
    return [
      [
        joint,
        ...TRACES.map(({ of, decimals }) => fixed(of(asked)[sample], decimals)),
        SHOWN_MOMENT_SIGN[joint],
      ],
    ];
  });
  return `${headOf(demand)}\nAt ${fixed(percent, 1)} %, in ${part}\n\n${table(
    [
      { head: 'joint', align: 'left' },
      ...TRACES.map(({ name, unit }) => ({ head: name, unit })),
      { head: 'moments', align: 'left' },
    ],
    rows,
  )}`;
}

/** One row each half per cent, for plots elsewhere. */
export function strideCsv(demand: StrideDemand, joints: readonly JointName[]): string {
  const kept = joints.filter((joint) => demand.joints[joint] !== undefined);
  const columns = kept.flatMap((joint) =>
    TRACES.map(({ name, csvUnit, of }) => ({
      head: `${joint} ${name} (${csvUnit}${name.includes('moment') ? `; ${SHOWN_MOMENT_SIGN[joint]}` : ''})`,
      samples: of(demand.joints[joint]!),
    })),
  );
  return csv(
    ['stride (%)', ...columns.map(({ head }) => head)],
    Array.from(demand.percent, (percent, k) => [percent, ...columns.map(({ samples }) => samples[k])]),
  );
}
