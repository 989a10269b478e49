import type {
  DesignResult,
  DrivenJoint,
  JointDemand,
  JointName,
  StrideDemand,
  StudyInput,
} from '@striderule/engine';
import type { JointChoice } from '../place.ts';
import { limitsOf } from '../show/ticks.ts';
import { groundForceOf, NO_FORCE, QUANTITIES, type Quantity } from './quantities.ts';
import type { Limit, RuleModel, Scale, Series } from './scale.ts';

export const JOINTS: readonly JointName[] = ['hip', 'knee', 'ankle'];
const LETTERS = 'abcd';
/** More than this many tasks under one curve cannot be told apart. */
export const MOST_LAID = LETTERS.length;

export const jointsOf = (choice: JointChoice): readonly JointName[] => (choice === 'all' ? JOINTS : [choice]);

/** Whole walks first, slow to fast, then what has fewer curves, in the study's own order. */
export const strideDemands = (result: DesignResult): StrideDemand[] =>
  Object.values(result.demands)
    .filter((demand) => demand.kind === 'stride')
    .toSorted((a, b) => rank(a) - rank(b));

/** The task that is read: the chosen one, else natural walking, else the first. */
export const taskRead = (demands: readonly StrideDemand[], task: string | undefined): StrideDemand =>
  demands.find((d) => d.task.id === task) ?? demands.find((d) => d.task.id === 'walk-natural') ?? demands[0]!;

const rank = (demand: StrideDemand): number =>
  Number.isNaN(demand.groundForce.vertical[0] ?? Number.NaN) || Number.isNaN(demand.speed)
    ? 1e3
    : demand.speed;

const finite = (values: ArrayLike<number>): boolean =>
  Array.from(values).some((value) => !Number.isNaN(value));

function valuesOf(q: Quantity, result: DesignResult, demand: StrideDemand, joint: JointName) {
  const own = demand.joints[joint];
  if (own === undefined) return undefined;
  const load = joint === 'hip' ? undefined : result.loads[demand.task.id]?.[joint];
  return q.of(own, load);
}

/** Every value of a quantity over all tasks with a curve, so that a scale holds still while tasks change. */
function* everyValue(q: Quantity, result: DesignResult, joints: readonly JointName[]): Generator<number> {
  for (const demand of strideDemands(result))
    for (const joint of joints) {
      yield* valuesOf(q, result, demand, joint) ?? [];
      const own = demand.joints[joint];
      if (q.human !== undefined && own !== undefined) yield* q.human(own);
    }
}

function seriesOf(
  q: Quantity,
  result: DesignResult,
  demand: StrideDemand,
  joints: readonly JointName[],
  laid: readonly StrideDemand[],
): Series[] {
  const made: Series[] = [];
  const one = joints.length === 1;
  laid.forEach((other, k) => {
    for (const joint of joints) {
      const values = valuesOf(q, result, other, joint);
      const letter = LETTERS.charAt(k);
      if (values !== undefined && finite(values))
        made.push({ key: `${joint}-${letter}`, label: letter, letter, values, weight: 'thin', tone: joint });
    }
  });
  for (const joint of joints) {
    const own = demand.joints[joint];
    const values = valuesOf(q, result, demand, joint);
    if (own === undefined || values === undefined || !finite(values)) continue;
    const human = one && joint !== 'hip' ? q.human?.(own) : undefined;
    if (human !== undefined && hasDeviceMoment(own))
      made.push({ key: `${joint}-human`, label: 'human', values: human, weight: 'human', tone: joint });
    const label = !one ? joint : human !== undefined && hasDeviceMoment(own) ? 'this leg' : '';
    made.push({ key: joint, label, values, weight: 'main', tone: joint });
  }
  return made;
}

/** Whether this leg's own segments changed anything: without a thigh angle the human moment is kept throughout. */
export const hasDeviceMoment = (demand: JointDemand): boolean => !Number.isNaN(demand.deviceMoment[0]);

function limitsFor(q: Quantity, input: StudyInput, joints: readonly JointName[]): Limit[] {
  const all = joints
    .filter((joint): joint is DrivenJoint => joint !== 'hip')
    .flatMap((joint) => {
      const drive = input.leg.joints[joint];
      return drive === undefined ? [] : (q.limits?.(drive) ?? []);
    });
  return all.filter((limit, i) => all.findIndex(({ value }) => value === limit.value) === i);
}

function noteOf(q: Quantity, joints: readonly JointName[]): string {
  return [...new Set(joints.map((joint) => q.note[joint]))].join(', ').replace(' +, ', ', ');
}

/** The task on the rule: its scales in the unit and sign that people read. */
export function ruleModel(
  input: StudyInput,
  result: DesignResult,
  demand: StrideDemand,
  choice: JointChoice,
  laid: readonly StrideDemand[],
): RuleModel {
  const joints = jointsOf(choice);
  const scales = QUANTITIES.map((q): Scale => {
    const { low, high } = limitsOf(everyValue(q, result, joints));
    const series = seriesOf(q, result, demand, joints, laid);
    const shown = series.some(({ weight }) => weight === 'main');
    return {
      key: q.key,
      name: q.name,
      unit: q.unit,
      note: noteOf(q, joints),
      low,
      high,
      series,
      limits: limitsFor(q, input, joints),
      decimals: q.decimals,
      ...(!shown && {
        gap: q.gap(joints[0] ?? 'knee').replace(/ (hip) (moment|angle)/, choice === 'all' ? ' $2' : ' $1 $2'),
      }),
    };
  });
  return {
    title: demand.task.title,
    stance: demand.stance,
    scales: [...scales, forceScale(result, demand, laid)],
    laid: laid.map((other, k) => ({ letter: LETTERS.charAt(k), title: other.task.title })),
  };
}

function forceScale(result: DesignResult, demand: StrideDemand, laid: readonly StrideDemand[]): Scale {
  const { low, high } = limitsOf(
    strideDemands(result).flatMap((d) => groundForceOf(d).flatMap((a) => [...a])),
  );
  const [up, forward] = groundForceOf(demand);
  const published = finite(up);
  const thin = laid.flatMap((other, k): Series[] => {
    const [values] = groundForceOf(other);
    const letter = LETTERS.charAt(k);
    return finite(values)
      ? [{ key: `force-${letter}`, label: letter, letter, values, weight: 'thin', tone: 'force' }]
      : [];
  });
  return {
    key: 'ground-force',
    name: 'Ground force',
    unit: 'N',
    note: 'up +, forward +',
    low,
    high,
    series: published
      ? [
          ...thin,
          { key: 'forward', label: 'forward', values: forward, weight: 'human', tone: 'force' },
          { key: 'up', label: 'up', values: up, weight: 'main', tone: 'force' },
        ]
      : thin,
    limits: [],
    decimals: 0,
    ...(!published && { gap: NO_FORCE }),
  };
}
