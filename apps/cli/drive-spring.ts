import {
  type DrivenJoint,
  degFromRad,
  type SpringChoice,
  type SpringFigures,
  springChoice,
  studyDemands,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { heading } from './heading.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { list } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import { csv, table } from './table.ts';
import type { Values } from './values.ts';

const KINDS = ['one-sided', 'two-sided'] as const;

/** `drive spring`: the parallel spring of least RMS motor torque over the schedule, one-sided and two-sided. */
export async function driveSpring(values: Values): Promise<number> {
  oneForm(values, 'csv', 'json');
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joint =
    values.joint === undefined
      ? has.includes('ankle')
        ? 'ankle'
        : has[0]
      : oneOf('--joint', values.joint as string, has);
  const demands = studyDemands(input);
  const choices =
    joint === undefined ? [] : KINDS.flatMap((kind) => springChoice(input, demands, joint, kind) ?? []);
  if (values.json) out(json({ study: input.name, demo: input.demo, units: 'SI', joint, choices }));
  else if (values.csv) out(sweepCsv(choices));
  else out(`${strong(verdict(joint, choices))}\n${heading(input)}\n\n${text(choices)}`);
  return 0;
}

function verdict(joint: DrivenJoint | undefined, choices: readonly SpringChoice[]): string {
  if (joint === undefined) return 'This leg drives no joint: there is no motor to spare.';
  const [choice] = choices.toSorted((a, b) => a.best.rmsTorque - b.best.rmsTorque);
  if (choice === undefined)
    return `No task of the schedule has a ${joint} curve with moments: nothing says which spring would help.`;
  const { none, best, kind } = choice;
  const less = 100 * (1 - best.rmsTorque / none.rmsTorque);
  return `A ${kind} spring of ${significant(best.spring!.stiffness)} N·m/rad at the ${joint} takes ${fixed(less, 0)} % off the RMS motor torque, ${significant(none.rmsTorque)} to ${significant(best.rmsTorque)} N·m, and makes the peak ${significant(best.peakTorque)} instead of ${significant(none.peakTorque)} N·m.`;
}

const degrees = (angle: number): string => fixed(degFromRad(angle as never), 1);

const row = (name: string, f: SpringFigures): string[] => [
  name,
  f.spring === undefined ? GAP : significant(f.spring.stiffness),
  f.spring === undefined ? GAP : degrees(f.spring.equilibrium),
  significant(f.rmsTorque),
  significant(f.peakTorque),
  f.peakTask ?? GAP,
  f.spring === undefined ? GAP : significant(f.springTorque),
  f.spring === undefined ? GAP : significant(f.springEnergy),
];

function text(choices: readonly SpringChoice[]): string {
  if (choices.length === 0) return CAUTION;
  return [
    ...choices.map(
      (choice) =>
        `${choice.kind}${choice.kind === 'one-sided' ? ', pulls only above its rest angle' : ', pulls both ways over the whole range'}\n${table(
          [
            { head: 'spring', align: 'left' },
            { head: 'stiffness', unit: 'N·m/rad' },
            { head: 'rest angle', unit: '°' },
            { head: 'motor RMS', unit: 'N·m' },
            { head: 'motor peak', unit: 'N·m' },
            { head: 'in task', align: 'left' },
            { head: 'spring peak', unit: 'N·m' },
            { head: 'stored', unit: 'J' },
          ],
          [
            row('none', choice.none),
            ...(choice.asIs === undefined ? [] : [row('leg file', choice.asIs)]),
            ...choice.sweep.map((f) =>
              row(f.spring!.stiffness === choice.best.spring!.stiffness ? 'best' : '', f),
            ),
          ],
        )}`,
    ),
    `For the leg file, under the joint:\n${fileLines(choices.toSorted((a, b) => a.best.rmsTorque - b.best.rmsTorque)[0]!.best)}`,
    list([
      'RMS over the schedule; each row has the rest angle that suits its stiffness best. Positive angles are flexion and dorsiflexion.',
      'The spring works in swing too: what it takes off in stance the motor gives back to hold the foot up, and both are in the numbers.',
      'The unpowered joint comes to rest at the spring’s rest angle. Breakaway, dead angle and free swing of this tool know no spring.',
      'Standing is not counted, since nobody knows at which angle somebody will stand; nor is what the spring weighs.',
      'A spring stores what its mount and end stop must carry when it lets go: strength by calculation and test, with the standards that apply.',
    ]),
    CAUTION,
  ].join('\n\n');
}

const fileLines = ({ spring }: SpringFigures): string =>
  `  parallelSpring:
    stiffness: ${spring!.stiffness.toPrecision(4)} N*m/rad
    equilibrium: ${degFromRad(spring!.equilibrium).toFixed(2)} deg
    engaged: { from: ${degFromRad(spring!.engaged.from).toFixed(2)} deg, to: ${degFromRad(spring!.engaged.to).toFixed(2)} deg }`;

/** A row a spring, SI units. */
const sweepCsv = (choices: readonly SpringChoice[]): string =>
  csv(
    [
      'kind',
      'spring',
      'stiffness N·m/rad',
      'rest angle rad',
      'motor RMS N·m',
      'motor peak N·m',
      'peak task',
      'spring peak N·m',
      'stored J',
    ],
    choices.flatMap(({ kind, none, asIs, best, sweep }) =>
      [
        { name: 'none', of: none },
        ...(asIs === undefined ? [] : [{ name: 'leg file', of: asIs }]),
        { name: 'best', of: best },
        ...sweep.map((of) => ({ name: 'sweep', of })),
      ].map(({ name, of }) => [
        kind,
        name,
        of.spring?.stiffness,
        of.spring?.equilibrium,
        of.rmsTorque,
        of.peakTorque,
        of.peakTask,
        of.springTorque,
        of.springEnergy,
      ]),
    ),
  );
