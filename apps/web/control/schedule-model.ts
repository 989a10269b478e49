import {
  type DrivenJoint,
  overPhaseCurves,
  type ScheduleCurves,
  type StanceOverPhase,
  type StanceSchedule,
  type StrideDemand,
  subphaseCurves,
} from '@striderule/engine';
import type { RuleModel, Scale, Series } from '../rule/scale.ts';
import { limitsOf } from '../show/ticks.ts';
import { degrees } from '../show/unit.ts';

type Open = { readonly openBecause: string };

interface Quantity {
  readonly key: keyof ScheduleCurves;
  readonly name: string;
  readonly unit: string;
  readonly note: (joint: DrivenJoint) => string;
  readonly decimals: number;
  readonly of: (values: Float64Array) => Float64Array;
}

const same = (values: Float64Array): Float64Array => values;
const QUANTITIES: readonly Quantity[] = [
  { key: 'stiffness', name: 'Stiffness', unit: 'N·m/rad', note: () => 'joint', decimals: 0, of: same },
  { key: 'damping', name: 'Damping', unit: 'N·m·s/rad', note: () => 'joint', decimals: 2, of: same },
  {
    ...{ key: 'equilibrium', name: 'Equilibrium', unit: '°', decimals: 1 },
    note: (joint) => (joint === 'knee' ? 'flexion +' : 'dorsiflexion +'),
    of: (values) => values.map(degrees),
  },
  {
    ...{ key: 'putIn', name: 'Energy put in', unit: 'J', decimals: 1, of: same },
    note: () => 'since contact',
  },
];

/** The schedules of one joint's stance on one task's stride: steps by sub-phase, and what is continuous over phase beside them. */
export function scheduleModel(
  joint: DrivenJoint,
  demand: StrideDemand,
  subphases: StanceSchedule | Open,
  overPhase: StanceOverPhase | Open,
): RuleModel {
  const id = demand.task.id;
  const steps = 'openBecause' in subphases ? undefined : subphaseCurves(subphases, id);
  const smooth = 'openBecause' in overPhase ? undefined : overPhaseCurves(overPhase, id);
  const scales = QUANTITIES.map((q): Scale => {
    const series: Series[] = [];
    if (smooth !== undefined)
      series.push({
        key: 'phase',
        label: 'over phase',
        values: q.of(smooth[q.key]),
        weight: 'human',
        tone: joint,
      });
    if (steps !== undefined)
      series.push({
        key: joint,
        label: 'by sub-phase',
        values: q.of(steps[q.key]),
        weight: 'main',
        tone: joint,
      });
    return {
      ...{ key: q.key, name: q.name, unit: q.unit, note: q.note(joint), decimals: q.decimals },
      ...limitsOf(series.flatMap(({ values }) => Array.from(values))),
      ...{ series, limits: [] },
      ...(steps === undefined && { gap: 'no schedule by sub-phase serves this task' }),
    };
  });
  return { title: `${demand.task.title}, stance of the ${joint}`, stance: demand.stance, scales, laid: [] };
}
