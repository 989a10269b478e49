import type {
  DesignResult,
  DriveLoad,
  DrivenJoint,
  JointDemand,
  JointDrive,
  StrideDemand,
  StudyInput,
} from '@striderule/engine';
import type { Moving } from '../design/live-ratio.ts';
import { noMoment, QUANTITIES } from '../rule/quantities.ts';
import type { Limit, RuleModel, Scale, Series } from '../rule/scale.ts';
import { limitsOf } from '../show/ticks.ts';

/** A quantity of the drive over the stride, with what bounds it. */
interface DriveQuantity {
  readonly key: string;
  readonly name: string;
  readonly unit: string;
  readonly decimals: number;
  readonly note: string;
  /** Whether the ratio moves it. */
  readonly moves: boolean;
  readonly of: (demand: JointDemand, load: DriveLoad) => Float64Array;
  readonly limits: (drive: JointDrive) => readonly Limit[];
  /** A limit that changes over the stride, as magnitude. */
  readonly bound?: (load: DriveLoad) => Float64Array;
}

const RPM = 60 / (2 * Math.PI);
const rpm = (speed: number): number => speed * RPM;

function quantities(joint: DrivenJoint): readonly DriveQuantity[] {
  const from = (key: string) => QUANTITIES.find((q) => q.key === key)!;
  const shared = (key: string, moves: boolean): DriveQuantity => {
    const q = from(key);
    return {
      key,
      name: q.name,
      unit: q.unit,
      decimals: q.decimals,
      note: q.note[joint],
      moves,
      of: (demand, load) => q.of(demand, load) as Float64Array,
      limits: (drive) => q.limits?.(drive) ?? [],
    };
  };
  return [
    shared('moment', false),
    shared('motor-torque', true),
    {
      key: 'motor-speed',
      name: 'Motor speed',
      unit: 'rpm',
      decimals: 0,
      note: from('speed').note[joint],
      moves: true,
      of: (_, load) => load.motorSpeed.map(rpm),
      limits: () => [],
      bound: (load) => load.speedLimit.map(rpm),
    },
    shared('current', true),
  ];
}

const finite = (values: ArrayLike<number>): number[] => Array.from(values).filter(Number.isFinite);

/** Ends of a scale that hold still: every task's values as saved and the limits, with room for the slide to move in. */
function ends(
  q: DriveQuantity,
  { input, design }: Moving,
  joint: DrivenJoint,
): { low: number; high: number } {
  const drive = input.leg.joints[joint]!;
  const all = Object.entries(design.demands).flatMap(([id, demand]) => {
    const load = design.loads[id]?.[joint];
    const own = demand.kind === 'stride' ? demand.joints[joint] : undefined;
    if (load === undefined || own === undefined) return [];
    const bound = q.bound === undefined ? [] : finite(q.bound(load)).flatMap((v) => [v, -v]);
    return [...finite(q.of(own, load)), ...bound];
  });
  const room = q.moves ? 1.2 : 1;
  return limitsOf([...all, ...q.limits(drive).map(({ value }) => value)].map((value) => room * value));
}

/** The scales of the drive page, their ends from the saved design. */
export interface DriveScales {
  readonly joint: DrivenJoint;
  readonly demand: StrideDemand;
  readonly saved: DesignResult;
  readonly scales: readonly { readonly q: DriveQuantity; readonly low: number; readonly high: number }[];
}

export const driveScales = (saved: Moving, joint: DrivenJoint, demand: StrideDemand): DriveScales => ({
  joint,
  demand,
  saved: saved.design,
  scales: quantities(joint).map((q) => ({ q, ...ends(q, saved, joint) })),
});

const magnitude = (values: Float64Array, sign: 1 | -1): Float64Array => values.map((v) => sign * v);

function seriesOf(
  q: DriveQuantity,
  { joint, demand, saved }: DriveScales,
  design: DesignResult,
  changed: boolean,
): Series[] {
  const own = demand.joints[joint];
  const [load, before] = [design.loads[demand.task.id]?.[joint], saved.loads[demand.task.id]?.[joint]];
  if (own === undefined || load === undefined || before === undefined) return [];
  const values = q.of(own, load);
  if (finite(values).length === 0) return [];
  const made: Series[] = [];
  if (q.bound !== undefined) {
    const bound = q.bound(load);
    for (const [key, sign] of [
      ['bound-up', 1],
      ['bound-down', -1],
    ] as const)
      made.push({
        key,
        label: sign === 1 ? 'bus limit' : '',
        values: magnitude(bound, sign),
        weight: 'bound',
        tone: joint,
      });
  }
  if (q.moves)
    made.push({
      key: 'saved',
      label: changed ? 'saved' : '',
      values: q.of(own, before),
      weight: 'ghost',
      tone: joint,
    });
  made.push({ key: joint, label: '', values, weight: 'main', tone: joint });
  return made;
}

/** The task on the drive's scales, at one ratio, with the saved design behind it. */
export function driveRuleModel(
  fixed: DriveScales,
  input: StudyInput,
  design: DesignResult,
  changed: boolean,
): RuleModel {
  const { joint, demand, scales } = fixed;
  const drive = input.leg.joints[joint]!;
  return {
    title: demand.task.title,
    stance: demand.stance,
    laid: [],
    scales: scales.map(({ q, low, high }): Scale => {
      const series = seriesOf(q, fixed, design, changed);
      return {
        key: q.key,
        name: q.name,
        unit: q.unit,
        note: q.note,
        low,
        high,
        series,
        limits: q.limits(drive),
        decimals: q.decimals,
        still: q.moves,
        ...(series.length === 0 && { gap: noMoment(joint) }),
      };
    }),
  };
}
