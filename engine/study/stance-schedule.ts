import type { ImpedanceBounds, JointSamples } from '../control/impedance.ts';
import { impedanceTorque } from '../control/impedance.ts';
import { IMPEDANCE_LIMITS, POOR_FIT, WORST_CONDITION } from '../control/impedance-limits.ts';
import { fitOverPhase, impedanceAtPhase, type PhaseFit } from '../control/phase-fit.ts';
import { type ScheduleEnergy, scheduleEnergy } from '../control/schedule-energy.ts';
import { SUBPHASES, stanceEvents } from '../control/stance-events.ts';
import { fitSubphases, residualOf, type SubphaseFit } from '../control/subphase-fit.ts';
import { STRIDE_SAMPLES } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { Fault } from '../quantity/fault.ts';
import type { Demands, DesignResult } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** What a schedule is fitted to: stance of one task. */
interface Stance extends JointSamples {
  readonly task: string;
  readonly title: string;
  /** m/s; NaN where the source gives none. */
  readonly speed: number;
  /** s between two samples. */
  readonly step: number;
  /** Sample at which each sub-phase begins, and the last of stance. */
  readonly events: readonly number[];
}

/** How a schedule serves one task. */
export interface StanceOfTask {
  readonly task: string;
  readonly title: string;
  readonly speed: number;
  /** Where each sub-phase begins, and toe-off, per cent of the stride; over phase 0 and toe-off. */
  readonly percent: readonly number[];
  /** RMS of schedule − asked torque over stance, N·m, and as a share of the largest asked. */
  readonly rms: number;
  readonly share: number;
  /** The same of each sub-phase. */
  readonly subphases: readonly { readonly rms: number; readonly share: number }[];
  /** At the angles of this stride: what scheduling puts in, and where. */
  readonly energy: ScheduleEnergy;
  /** J put in at each switch between sub-phases; empty for a schedule over phase. */
  readonly switches: readonly number[];
  /** J of work over stance that the stride asks of the joint. */
  readonly asked: number;
}

/** One sub-phase of the schedule. */
export interface StanceSubphase extends SubphaseFit {
  readonly name: string;
  /** Worst RMS residual over the tasks as a share of the task's largest torque in stance. */
  readonly share: number;
  /** K, θ_eq and B all lie at a bound: then the bounds made it, not the strides. */
  readonly allBound: boolean;
}

/** Continuity at one switch. */
export interface StanceSwitch {
  /** Mean state over the tasks, rad, rad/s, where the torque is held equal. */
  readonly angle: number;
  readonly velocity: number;
  /** Largest jump of the torque at a task's own state, N·m, and in which task. */
  readonly jump: number;
  readonly task: string;
  /** What the jump gains for each radian and each rad/s that the switch comes away from the mean state: N·m/rad, N·m·s/rad. */
  readonly jumpPerAngle: number;
  readonly jumpPerVelocity: number;
}

/** A stance as springs and dampers. */
export interface StanceSchedule {
  readonly bounds: ImpedanceBounds;
  readonly subphases: readonly StanceSubphase[];
  readonly switches: readonly StanceSwitch[];
  readonly tasks: readonly StanceOfTask[];
  /** Tasks that could not be used, and why. */
  readonly leftOut: readonly { readonly title: string; readonly because: string }[];
  /** Words a reader needs before using it: bad fits, bounds that bind. */
  readonly warnings: readonly string[];
}

export interface StanceOverPhase extends PhaseFit {
  readonly tasks: readonly (StanceOfTask & {
    /** Largest power that scheduling puts in, W, and where, per cent of the stride. */
    readonly strongest: { readonly power: number; readonly percent: number };
  })[];
  readonly warnings: readonly string[];
}

type Open = { readonly openBecause: string };

/** Degree of K(s), c(s), B(s): the least that lets a stiffness rise and fall with unlike slopes. Our choice. */
const DEGREE = 4;

/** Level walking of the study: what a schedule is fitted to where no task is named. */
export const walkingTasks = (input: StudyInput): readonly string[] =>
  input.tasks.flatMap((task) =>
    task.kind === 'stride' && input.strides[task.stride]?.activity === 'level walking' ? [task.id] : [],
  );

// By the demands it was fitted to and, in the key, all else that it reads: motor and ratio are not among them.
const fitted = new WeakMap<Demands, Map<string, StanceSchedule | Open>>();

/**
 * Springs and dampers by sub-phase for one joint's stance: one schedule for all of `tasks`, that of all level walking where they are left
 * out. Asked is the typical person's moment, without the coverage of stronger people; bounds are IMPEDANCE_LIMITS times body mass and, for
 * the equilibrium, the joint's own range, so that a spring let go does not run into the end stop. `stiffest`, N·m/rad: no spring is stiffer
 * either. Refused, with the reason, where the strides cannot tell K, c and B apart.
 */
export function stanceSchedule(
  input: StudyInput,
  design: Pick<DesignResult, 'demands'>,
  joint: DrivenJoint,
  tasks: readonly string[] = walkingTasks(input),
  stiffest = Number.POSITIVE_INFINITY,
): StanceSchedule | Open {
  const { from, to } = input.leg.joints[joint]?.range ?? {};
  const key = [joint, from, to, input.wearer.mass, stiffest, ...tasks].join('\n');
  const known = fitted.get(design.demands) ?? new Map<string, StanceSchedule | Open>();
  fitted.set(design.demands, known);
  const schedule = known.get(key) ?? fittedSchedule(input, design, joint, tasks, stiffest);
  known.set(key, schedule);
  return schedule;
}

function fittedSchedule(
  input: StudyInput,
  design: Pick<DesignResult, 'demands'>,
  joint: DrivenJoint,
  tasks: readonly string[],
  stiffest: number,
): StanceSchedule | Open {
  const got = stancesOf(input, design, joint, tasks);
  if ('openBecause' in got) return got;
  const { stances, leftOut } = got;
  const { low, high } = got.bounds.stiffness;
  if (stiffest < low)
    return {
      openBecause: `the sampled loop of the ${joint} bears no spring stiffer than ${stiffest.toFixed(0)} N·m/rad, and no walking ${joint} is known to be as soft: a shorter \`period\` under \`controllerHardware\`, stiffer gears or more inertia before them`,
    };
  const bounds = { ...got.bounds, stiffness: { low, high: Math.min(high, stiffest) } };
  const names = SUBPHASES[joint];
  const parts = names.map((_, p) => joined(stances, p));
  const means = names.slice(1).map((_, p) => ({
    angle: meanOf(stances, ({ angle, events }) => angle[events[p + 1]]),
    velocity: meanOf(stances, ({ velocity, events }) => velocity[events[p + 1]]),
  }));
  const fit = told(() => fitSubphases(parts, { bounds: parts.map(() => bounds), switches: means }));
  if ('openBecause' in fit) return fit;
  const { subphases } = fit;
  const bad = subphases.flatMap(({ condition }, p) =>
    condition > WORST_CONDITION ? [`${names[p]} has a condition of ${condition.toExponential(0)}`] : [],
  );
  if (bad.length > 0) return { openBecause: notTold(`${bad.join(', ')}, ${limit}`) };
  const laws = subphases.map(({ impedance }) => impedance);
  const served = stances.map((stance) => servedBy(stance, (p) => () => laws[p]));
  const all = subphases.map((fit, p) => {
    const held = new Set(fit.active.map(({ bound }) => bound));
    return {
      ...fit,
      name: names[p],
      share: Math.max(...served.map((task) => task.subphases[p].share)),
      allBound: held.size === 3,
    };
  });
  const switches = means.map((state, p) => {
    const jumps = stances.map(({ angle, velocity, events }) => {
      const i = events[p + 1];
      return (
        impedanceTorque(laws[p + 1], angle[i], velocity[i]) - impedanceTorque(laws[p], angle[i], velocity[i])
      );
    });
    const worst = jumps.reduce((w, jump, k) => (Math.abs(jump) > Math.abs(jumps[w]) ? k : w), 0);
    return {
      ...state,
      jump: jumps[worst],
      task: stances[worst].task,
      jumpPerAngle: laws[p].stiffness - laws[p + 1].stiffness,
      jumpPerVelocity: laws[p].damping - laws[p + 1].damping,
    };
  });
  return { bounds, subphases: all, switches, tasks: served, leftOut, warnings: warningsOf(all, served) };
}

/** The same with K(s), c(s) and B(s) continuous over stance, s = 0 at initial contact and 1 at toe-off. */
export function stanceOverPhase(
  input: StudyInput,
  design: Pick<DesignResult, 'demands'>,
  joint: DrivenJoint,
  tasks: readonly string[] = walkingTasks(input),
): StanceOverPhase | Open {
  const got = stancesOf(input, design, joint, tasks);
  if ('openBecause' in got) return got;
  const { stances, bounds } = got;
  const whole = joinedOver(stances, ({ events }) => [0, events.at(-1)!]);
  const phase = Float64Array.from(
    stances.flatMap(({ events }) => Array.from({ length: events.at(-1)! + 1 }, (_, i) => i / events.at(-1)!)),
  );
  const fit = told(() => fitOverPhase({ ...whole, phase }, { degree: DEGREE, bounds }));
  if ('openBecause' in fit) return fit;
  if (fit.condition > WORST_CONDITION)
    return { openBecause: notTold(`the condition is ${fit.condition.toExponential(0)}, ${limit}`) };
  const served = stances.map((stance) => {
    const last = stance.events.at(-1)!;
    const task = servedBy(
      { ...stance, events: [0, last] },
      () => (i) => impedanceAtPhase(fit.schedule, i / last),
    );
    const { steps } = task.energy;
    const most = steps.reduce((m, step, i) => (step > steps[m] ? i : m), 0);
    const percent = (100 * (most + 0.5)) / (STRIDE_SAMPLES - 1);
    return { ...task, strongest: { power: steps[most] / stance.step, percent } };
  });
  return {
    ...fit,
    tasks: served,
    warnings: poorTasks(served, 'No spring and damper within the bounds makes it.'),
  };
}

const notTold = (what: string): string =>
  `the strides do not tell stiffness, equilibrium and damping apart: ${what}; add strides of other speeds`;
const limit = `and ${WORST_CONDITION} is the most`;

/** The fit, or that its unknowns are not told at all. */
function told<T>(fit: () => T): T | Open {
  try {
    return fit();
  } catch (error) {
    if (error instanceof Fault && error.faults[0]?.code === 'numeric.not-definite')
      return { openBecause: notTold('some combination of them changes nothing') };
    throw error;
  }
}

/** Stances of the tasks, bounds, and what had to be left out. */
function stancesOf(
  input: StudyInput,
  { demands }: Pick<DesignResult, 'demands'>,
  joint: DrivenJoint,
  tasks: readonly string[],
):
  | Open
  | {
      readonly stances: readonly Stance[];
      readonly bounds: ImpedanceBounds;
      readonly leftOut: StanceSchedule['leftOut'];
    } {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
  const leftOut: { title: string; because: string }[] = [];
  const stances: Stance[] = [];
  for (const id of tasks) {
    const demand = demands[id];
    if (demand === undefined) throw new Error(`${id} is no task of the study`);
    const { title } = demand.task;
    const asked = demand.kind === 'stride' ? demand.joints[joint] : undefined;
    if (demand.kind !== 'stride' || asked === undefined || Number.isNaN(asked.humanMoment[0])) {
      leftOut.push({ title, because: `no ${joint} curve with moments` });
      continue;
    }
    const last = Math.floor(demand.stance * (STRIDE_SAMPLES - 1));
    const angle = asked.angle.slice(0, last + 1);
    const events = stanceEvents(joint, angle);
    if ('openBecause' in events) {
      leftOut.push({ title, because: events.openBecause });
      continue;
    }
    stances.push({
      task: id,
      title,
      speed: demand.speed,
      step: demand.strideTime / (STRIDE_SAMPLES - 1),
      events,
      angle,
      velocity: asked.velocity.slice(0, last + 1),
      torque: asked.humanMoment.slice(0, last + 1).map((moment) => moment / asked.momentCover),
    });
  }
  if (stances.length === 0) {
    const why = leftOut.map(({ title, because }) => `${title}: ${because}`).join('; ');
    return { openBecause: why === '' ? 'the study has no task of level walking: add one' : why };
  }
  const { stiffness, damping } = IMPEDANCE_LIMITS[joint];
  const { mass } = input.wearer;
  const times = ({ low, high }: { readonly low: number; readonly high: number }) => ({
    low: low * mass,
    high: high * mass,
  });
  const { from, to } = drive.range;
  return {
    stances,
    leftOut,
    bounds: {
      stiffness: times(stiffness),
      damping: times(damping),
      equilibrium: { low: from, high: to },
    },
  };
}

/** Samples from one event to another of every stance, both included. */
function joinedOver(
  stances: readonly Stance[],
  span: (stance: Stance) => readonly [number, number],
): JointSamples {
  const of = (name: 'angle' | 'velocity' | 'torque'): Float64Array =>
    Float64Array.from(
      stances.flatMap((stance) => {
        const [from, to] = span(stance);
        return [...stance[name].subarray(from, to + 1)];
      }),
    );
  return { angle: of('angle'), velocity: of('velocity'), torque: of('torque') };
}

const joined = (stances: readonly Stance[], p: number): JointSamples =>
  joinedOver(stances, ({ events }) => [events[p], events[p + 1]]);

const meanOf = (stances: readonly Stance[], of: (stance: Stance) => number): number =>
  stances.reduce((sum, stance) => sum + of(stance), 0) / stances.length;

/** Residual and energy of a schedule along one stance; `lawOf` gives the impedance in a sub-phase at a sample. */
function servedBy(
  stance: Stance,
  lawOf: (subphase: number) => (index: number) => { stiffness: number; offset: number; damping: number },
): StanceOfTask {
  const { task, title, speed, step, events, angle, velocity, torque } = stance;
  const last = events.at(-1)!;
  let peak = 0;
  for (const t of torque) peak = Math.max(peak, Math.abs(t));
  // an event is the last sample of one sub-phase and the first of the next: there the schedule switches
  const rows: { i: number; law: ReturnType<ReturnType<typeof lawOf>> }[] = [];
  const switchAt: number[] = [];
  const subphases = events.slice(1).map((to, p) => {
    const law = lawOf(p);
    if (p > 0) switchAt.push(rows.length - 1);
    for (let i = events[p]; i <= to; i++) rows.push({ i, law: law(i) });
    const from = events[p];
    const { rms } = residualOf(torque.slice(from, to + 1), (k) =>
      impedanceTorque(law(from + k), angle[from + k], velocity[from + k]),
    );
    return { rms, share: rms / peak };
  });
  const of = (value: (row: (typeof rows)[number]) => number): Float64Array => Float64Array.from(rows, value);
  const energy = scheduleEnergy({
    time: of(({ i }) => i * step),
    angle: of(({ i }) => angle[i]),
    velocity: of(({ i }) => velocity[i]),
    stiffness: of(({ law }) => law.stiffness),
    offset: of(({ law }) => law.offset),
    damping: of(({ law }) => law.damping),
  });
  let [missed, asked] = [0, 0];
  for (let i = 0; i <= last; i++) {
    const p = Math.max(0, events.findIndex((event, k) => k > 0 && i <= event) - 1);
    missed += (impedanceTorque(lawOf(p)(i), angle[i], velocity[i]) - torque[i]) ** 2;
    if (i > 0) asked += (step / 2) * (torque[i - 1] * velocity[i - 1] + torque[i] * velocity[i]);
  }
  const rms = Math.sqrt(missed / (last + 1));
  return {
    task,
    title,
    speed,
    percent: events.map((i) => (100 * i) / (STRIDE_SAMPLES - 1)),
    rms,
    share: rms / peak,
    subphases,
    energy,
    switches: switchAt.map((k) => energy.steps[k]),
    asked,
  };
}

const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;

/** The tasks that the schedule does not follow, in one sentence, and what would. */
function poorTasks(tasks: readonly StanceOfTask[], remedy: string): string[] {
  const poor = tasks.filter(({ share }) => share > POOR_FIT);
  if (poor.length === 0) return [];
  const told = poor.map(({ title, share }) => `${title} ${percent(share)}`).join(', ');
  const mend = tasks.length > 1 ? 'One schedule for all does not serve them: give each its own.' : remedy;
  return [`Not followed, RMS beyond ${percent(POOR_FIT)} of the largest torque (our line): ${told}. ${mend}`];
}

function warningsOf(subphases: readonly StanceSubphase[], tasks: readonly StanceOfTask[]): string[] {
  return [
    ...poorTasks(
      tasks,
      'Springs that are constant in these sub-phases do not make it: look at the schedule over phase.',
    ),
    ...subphases.flatMap(({ name, allBound, active }) => {
      if (allBound)
        return [
          `${name}: stiffness, equilibrium and damping all lie at a bound. The bounds made it, not the strides.`,
        ];
      const stiff = active.find(({ bound }) => bound === 'stiffness');
      return stiff === undefined
        ? []
        : [
            `${name}: the stiffness lies at its ${stiff.end === 'high' ? 'upper' : 'lower'} bound; without it the fit would go further.`,
          ];
    }),
    ...(subphases.some(({ active }) => active.some(({ bound, end }) => bound === 'damping' && end === 'low'))
      ? [
          'Damping at its lower bound of zero: muscles that give work look like a negative damper, so walking does not say which damping to set. Choose it by a damping ratio.',
        ]
      : []),
  ];
}
