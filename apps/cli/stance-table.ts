import {
  type DrivenJoint,
  degFromRad,
  equilibriumOf,
  type Impedance,
  impedanceAtPhase,
  POOR_FIT,
  PUBLISHED_IMPEDANCE,
  rad,
  type StanceOfTask,
  type StanceOverPhase,
  type StanceSchedule,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { csv, table } from './table.ts';

type Open = { readonly openBecause: string };

/** What `control stance` found. */
export interface StanceAnswer {
  readonly joint: DrivenJoint;
  /** kg */
  readonly mass: number;
  readonly subphases: StanceSchedule | Open;
  readonly overPhase: StanceOverPhase | Open;
  /** A schedule by sub-phase for each task alone, by id. */
  readonly alone: Readonly<Record<string, StanceSchedule | Open>>;
}

const share = (x: number): string => fixed(100 * x, 1);
const degrees = (angle: number): string => fixed(degFromRad(rad(angle)), 1);
const worstOf = (tasks: readonly StanceOfTask[]): StanceOfTask =>
  tasks.reduce((w, task) => (task.share > w.share ? task : w));

/** One line first: whether one schedule follows the stance that is asked. */
export function stanceVerdict({ joint, subphases, overPhase }: StanceAnswer): string {
  if ('openBecause' in subphases) return `Refused: ${subphases.openBecause}.`;
  const { tasks } = subphases;
  const worst = worstOf(tasks);
  const what = `${tasks.length === 1 ? worst.title : `one schedule for ${tasks.length} tasks`}`;
  const smooth =
    'openBecause' in overPhase
      ? 'over phase it is refused'
      : `over phase ${share(worstOf(overPhase.tasks).share)} %`;
  const followed = tasks.filter((task) => task.share <= POOR_FIT).length;
  const word =
    followed === tasks.length
      ? 'Followed'
      : followed === 0
        ? 'Not followed'
        : `Followed in ${followed} of ${tasks.length} tasks`;
  return `${word}: ${joint}, ${what}: springs by sub-phase miss ${share(worst.share)} % of the largest torque at worst, ${smooth}.`;
}

/** Sub-phases, tasks, switches, phase, published rows, what to know; cautions once. */
export function stanceText(answer: StanceAnswer): string {
  const { joint, mass, subphases, overPhase, alone } = answer;
  if ('openBecause' in subphases) return [publishedText(joint), CAUTION].join('\n\n');
  return [
    `Springs by sub-phase: τ = K·(θeq − θ) − B·θ̇, flexion and dorsiflexion positive\n${subphaseTable(subphases, mass)}`,
    `${switchText(subphases)}`,
    `Each task under this schedule\n${taskTable(subphases, overPhase, alone)}`,
    ...(subphases.leftOut.length === 0
      ? []
      : [list(subphases.leftOut.map(({ title, because }) => `Left out: ${title}, ${because}.`))]),
    phaseText(overPhase, mass),
    publishedText(joint),
    list([
      ...new Set([
        ...subphases.warnings,
        ...('openBecause' in overPhase ? [] : overPhase.warnings.map((text) => `Over phase: ${text}`)),
      ]),
      'Fitted to the typical person’s moment of each task, without the coverage of stronger people. Fitted stiffness is the slope of torque over angle with muscles at work; what a push meets is another number.',
      'Injected is what changing K and the equilibrium puts into the spring over stance: a passive spring and damper has none. At contact the spring is set to what is stored there; how, is for the swing controller.',
      'Sub-phases begin at turns of the joint’s own angle; late dorsiflexion begins half way in time, which a controller must learn or replace by an angle.',
    ]),
    CAUTION,
  ].join('\n\n');
}

function subphaseTable({ subphases }: StanceSchedule, mass: number): string {
  return table(
    [
      { head: 'sub-phase', align: 'left' },
      { head: 'K', unit: 'N·m/rad' },
      { head: 'K/m', unit: 'N·m/kg/rad' },
      { head: 'B', unit: 'N·m·s/rad' },
      { head: 'θeq', unit: '°' },
      { head: 'residual', unit: 'N·m RMS' },
      { head: 'at worst', unit: '% of peak' },
      { head: 'cond' },
      { head: '± K', unit: 'per N·m' },
      { head: 'at a bound', align: 'left' },
    ],
    subphases.map(({ name, impedance, rms, share: worst, condition, perNoise, active }) => [
      name,
      significant(impedance.stiffness),
      fixed(impedance.stiffness / mass, 2),
      fixed(impedance.damping, 2),
      degrees(equilibriumOf(impedance)),
      significant(rms),
      share(worst),
      significant(condition, 2),
      significant(perNoise.stiffness, 2),
      active.map(({ bound, end }) => `${bound} ${end}`).join(', '),
    ]),
  );
}

function switchText({ subphases, switches, tasks }: StanceSchedule): string {
  return `At each switch the torque is continuous in the mean state${tasks.length > 1 ? ' of the tasks; in a task’s own state it jumps' : ''}\n${table(
    [
      { head: 'switch to', align: 'left' },
      { head: 'at', unit: '°' },
      { head: 'largest jump', unit: 'N·m' },
      { head: 'in task', align: 'left' },
      { head: 'injected', unit: 'J', align: 'left' },
    ],
    switches.map(({ angle, jump, task }, p) => {
      const put = tasks.map((of) => of.switches[p]!);
      const [least, most] = [Math.min(...put), Math.max(...put)].map((x) => fixed(x, 1)) as [string, string];
      return [
        subphases[p + 1]!.name,
        degrees(angle),
        fixed(jump, 1),
        task,
        least === most ? least : `${least} … ${most}`,
      ];
    }),
  )}`;
}

function taskTable(
  { tasks }: StanceSchedule,
  overPhase: StanceAnswer['overPhase'],
  alone: StanceAnswer['alone'],
): string {
  return table(
    [
      { head: 'task', align: 'left' },
      { head: 'speed', unit: 'm/s' },
      { head: 'residual', unit: 'N·m RMS' },
      { head: '', unit: '% of peak' },
      { head: 'if alone', unit: '%' },
      { head: 'over phase', unit: '%' },
      { head: 'asked', unit: 'J' },
      { head: 'delivered', unit: 'J' },
      { head: 'injected', unit: 'J' },
      { head: 'damped', unit: 'J' },
      { head: 'stored at contact', unit: 'J' },
      { head: 'at toe-off', unit: 'J' },
    ],
    tasks.map(({ task, speed, rms, share: own, energy, asked }) => {
      const only = alone[task];
      const smooth = 'openBecause' in overPhase ? undefined : overPhase.tasks.find((of) => of.task === task);
      return [
        task,
        fixed(speed, 2),
        significant(rms),
        share(own),
        only === undefined || 'openBecause' in only ? GAP : share(only.tasks[0]!.share),
        smooth === undefined ? GAP : share(smooth.share),
        fixed(asked, 1),
        fixed(energy.delivered, 1),
        fixed(energy.injected, 1),
        fixed(energy.dissipated, 1),
        fixed(energy.storedFirst, 1),
        fixed(energy.storedLast, 1),
      ];
    }),
  );
}

/** Places of stance at which a schedule over phase is printed. */
const PLACES = [0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1];

function phaseText(overPhase: StanceAnswer['overPhase'], mass: number): string {
  if ('openBecause' in overPhase) return paragraph(`Over phase: refused, ${overPhase.openBecause}.`);
  const { schedule, condition, rms, tasks, active } = overPhase;
  const at = (s: number): Impedance => impedanceAtPhase(schedule, s);
  const injected = tasks.map(
    ({ task, energy, strongest }) =>
      `${task} ${fixed(energy.given, 1)} in and ${fixed(-energy.taken, 1)} out, strongest ${significant(strongest.power)} W at ${fixed(strongest.percent, 0)} % of the stride`,
  );
  return [
    `Over phase, polynomials of degree ${schedule.stiffness.length - 1}, condition ${significant(condition, 2)}, residual ${significant(rms)} N·m RMS, ${active.length} of ${3 * schedule.stiffness.length} coefficients at a bound`,
    table(
      [
        { head: 'stance', unit: '%' },
        { head: 'K', unit: 'N·m/rad' },
        { head: 'K/m', unit: 'N·m/kg/rad' },
        { head: 'B', unit: 'N·m·s/rad' },
        { head: 'θeq', unit: '°' },
      ],
      PLACES.map((s) => {
        const law = at(s);
        return [
          fixed(100 * s, 1),
          significant(law.stiffness),
          fixed(law.stiffness / mass, 2),
          fixed(law.damping, 2),
          degrees(equilibriumOf(law)),
        ];
      }),
    ),
    paragraph(`Joules by scheduling over stance: ${injected.join('; ')}.`),
  ].join('\n');
}

function publishedText(joint: DrivenJoint): string {
  const rows = PUBLISHED_IMPEDANCE.filter((row) => row.joint === joint);
  const sources = [...new Set(rows.map(({ source }) => source))];
  const number = (source: string): string => `[${sources.indexOf(source) + 1}]`;
  return [
    'Published, to stand beside: none is a bound',
    table(
      [
        { head: 'when', align: 'left' },
        { head: 'how', align: 'left' },
        { head: 'K' },
        { head: 'B' },
        { head: 'θeq', unit: '°' },
        { head: 'per', align: 'left' },
        { head: 'source', align: 'left' },
      ],
      rows.map(({ when, how, stiffness, damping, equilibrium, perMass, source }) => [
        when,
        how,
        significant(stiffness),
        significant(damping, 2),
        equilibrium === undefined ? GAP : degrees(equilibrium),
        perMass ? 'kg' : 'person',
        number(source),
      ]),
    ),
    ...sources.map((source) => paragraph(`${number(source)} ${source}`, 4)),
  ].join('\n');
}

/** A row a sub-phase, SI units. */
export function stanceCsv({ subphases }: StanceAnswer): string {
  return csv(
    [
      'sub-phase',
      'stiffness N·m/rad',
      'offset N·m',
      'damping N·m·s/rad',
      'equilibrium rad',
      'residual N·m',
      'worst residual share',
      'condition',
      'bounds',
    ],
    'openBecause' in subphases
      ? []
      : subphases.subphases.map(({ name, impedance, rms, share: worst, condition, active }) => [
          name,
          impedance.stiffness,
          impedance.offset,
          impedance.damping,
          equilibriumOf(impedance),
          rms,
          worst,
          condition,
          active.map(({ bound, end }) => `${bound} ${end}`).join('; '),
        ]),
  );
}
