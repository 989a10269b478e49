import type { Demand, DesignResult, DrivenJoint, JointName } from '@striderule/engine';
import { JOINTS } from '../rule/rule-model.ts';
import { fixed, GAP, rangeText, significant } from '../show/number.ts';
import { degrees } from '../show/unit.ts';

/** One task at one joint, as text for the screen and as numbers for files. */
export interface NumberRow {
  readonly key: string;
  readonly task: string;
  readonly joint: string;
  readonly taskId: string;
  readonly cells: readonly { readonly text: string; readonly value: number | string | null }[];
  /** Why most of it is missing. */
  readonly remark?: string;
}

export const NUMBER_HEADS = [
  ['peak moment', 'N·m'],
  ['peak speed', '°/s'],
  ['power out', 'W'],
  ['power in', 'W'],
  ['work +', 'J'],
  ['work −', 'J'],
  ['motor peak', 'N·m'],
  ['motor rms', 'N·m'],
  ['torque', 'limit ÷ need'],
  ['speed', 'limit ÷ need'],
] as const;

type Cells = NumberRow['cells'];
const number = (value: number | undefined, decimals: number): Cells[number] =>
  value === undefined || Number.isNaN(value)
    ? { text: GAP, value: null }
    : { text: fixed(value, decimals), value: Number(value.toPrecision(6)) };
const factor = (value: number | undefined): Cells[number] =>
  value === undefined || !Number.isFinite(value)
    ? { text: GAP, value: null }
    : { text: `×${significant(value)}`, value: Number(value.toPrecision(6)) };
const none: Cells[number] = { text: GAP, value: null };

function strideRow(
  result: DesignResult,
  demand: Extract<Demand, { kind: 'stride' }>,
  joint: JointName,
): NumberRow[] {
  const own = demand.joints[joint];
  if (own === undefined) return [];
  const load = joint === 'hip' ? undefined : result.loads[demand.task.id]?.[joint];
  return [
    {
      key: `${demand.task.id} ${joint}`,
      task: demand.task.title,
      taskId: demand.task.id,
      joint,
      cells: [
        number(own.peak.moment, 0),
        number(degrees(own.peak.speed), 0),
        number(own.peak.generation, 0),
        number(own.peak.absorption, 0),
        number(own.work.positive, 1),
        number(own.work.negative, 1),
        number(load?.peakTorque, 2),
        number(load?.rmsTorque, 2),
        factor(load?.torqueMargin),
        factor(load?.speedMargin),
      ],
      ...(Number.isNaN(own.peak.moment) && { remark: 'no moment published: speed only' }),
    },
  ];
}

function peaksRow(demand: Extract<Demand, { kind: 'peaks' }>, joint: JointName): NumberRow[] {
  const own = demand.joints[joint];
  if (own === undefined) return [];
  const range = (r: { low: number; high: number } | undefined, of: (v: number) => number): Cells[number] =>
    r === undefined
      ? none
      : { text: rangeText(of(r.low), of(r.high), 0), value: rangeText(of(r.low), of(r.high), 1) };
  return [
    {
      key: `${demand.task.id} ${joint}`,
      task: demand.task.title,
      taskId: demand.task.id,
      joint,
      cells: [
        range(own.moment, (v) => v),
        range(own.speed, degrees),
        none,
        none,
        none,
        none,
        none,
        none,
        none,
        none,
      ],
      remark: 'peaks only, no curve: no heat, no energy',
    },
  ];
}

/** Every task at every chosen joint. */
export function numberRows(result: DesignResult, joints: readonly JointName[]): NumberRow[] {
  const demands = Object.values(result.demands);
  return JOINTS.filter((joint) => joints.includes(joint)).flatMap((joint) =>
    demands.flatMap((demand) => {
      if (demand.kind === 'stride') return strideRow(result, demand, joint);
      return demand.kind === 'peaks' ? peaksRow(demand, joint) : [];
    }),
  );
}

export const drivenOf = (joints: readonly JointName[]): DrivenJoint[] =>
  joints.filter((joint): joint is DrivenJoint => joint !== 'hip');
