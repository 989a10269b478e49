import { equilibriumOf, type Impedance } from '../control/impedance.ts';
import { impedanceAtPhase } from '../control/phase-fit.ts';
import { STRIDE_SAMPLES } from '../gait/demand-result.ts';
import type { StanceOfTask, StanceOverPhase, StanceSchedule } from './stance-schedule.ts';

/** A schedule over the samples of one task's stride; no number in swing, which it does not speak of. */
export interface ScheduleCurves {
  /** N·m/rad, N·m·s/rad, rad. */
  readonly stiffness: Float64Array;
  readonly damping: Float64Array;
  readonly equilibrium: Float64Array;
  /** J put in since contact by changing stiffness and equilibrium: where it rises the schedule gives energy. */
  readonly putIn: Float64Array;
}

/** Samples at which the parts of a task's stance begin, and toe-off's. */
const eventsOf = ({ percent }: StanceOfTask): number[] =>
  percent.map((p) => Math.round((p * (STRIDE_SAMPLES - 1)) / 100));

function along(
  last: number,
  lawAt: (sample: number) => Impedance,
  putInAt: (sample: number) => number,
): ScheduleCurves {
  const curve = () => new Float64Array(STRIDE_SAMPLES).fill(Number.NaN);
  const curves = { stiffness: curve(), damping: curve(), equilibrium: curve(), putIn: curve() };
  for (let i = 0; i <= last; i++) {
    const law = lawAt(i);
    curves.stiffness[i] = law.stiffness;
    curves.damping[i] = law.damping;
    curves.equilibrium[i] = equilibriumOf(law);
    curves.putIn[i] = putInAt(i);
  }
  return curves;
}

/** Steps at the sub-phases' own events; the sample of an event belongs to the later one. undefined where the task is not served. */
export function subphaseCurves(schedule: StanceSchedule, task: string): ScheduleCurves | undefined {
  const of = schedule.tasks.find((each) => each.task === task);
  if (of === undefined) return undefined;
  const events = eventsOf(of);
  const last = events.length - 1;
  const part = (i: number) => {
    let p = 0;
    while (p + 1 < last && events[p + 1] <= i) p++;
    return p;
  };
  return along(
    events[last],
    (i) => schedule.subphases[part(i)].impedance,
    (i) => of.switches.slice(0, part(i)).reduce((sum, energy) => sum + energy, 0),
  );
}

/** The schedule over phase at this task's samples; undefined where the task is not served. */
export function overPhaseCurves(fit: StanceOverPhase, task: string): ScheduleCurves | undefined {
  const of = fit.tasks.find((each) => each.task === task);
  if (of === undefined) return undefined;
  const last = eventsOf(of)[1];
  const { steps } = of.energy;
  let sum = 0;
  return along(
    last,
    (i) => impedanceAtPhase(fit.schedule, i / last),
    (i) => {
      if (i > 0) sum += steps[i - 1];
      return sum;
    },
  );
}
