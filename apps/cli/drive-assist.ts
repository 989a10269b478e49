import {
  assistance,
  type DrivenJoint,
  evaluateDesign,
  Fault,
  type JointAssistance,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { heading } from './heading.ts';
import { fixed, significant } from './number-text.ts';
import { list } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import { csv, table } from './table.ts';
import type { Values } from './values.ts';

const SHARE = 0.3;

/** `drive assist`: part of the human moment from the joint, the rest and the back-drive torque from the wearer. */
export async function driveAssist(values: Values): Promise<number> {
  oneForm(values, 'csv', 'json');
  const share = values.share === undefined ? SHARE : Number(values.share);
  if (!(share >= 0 && share <= 1) || values.share === '')
    throw new Fault({
      code: 'cli.share',
      what: `--share is a part of the human moment, 0 to 1, not "${values.share}"`,
      mend: 'Write 0.3 for three tenths',
    });
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joints = values.joint === undefined ? has : [oneOf('--joint', values.joint as string, has)];
  const design = evaluateDesign(input);
  const all = joints.flatMap((joint) => assistance(input, design, joint, share) ?? []);
  if (values.json)
    out(json({ study: input.name, demo: input.demo, units: 'SI, engine signs', assistance: all }));
  else if (values.csv) out(assistCsv(all));
  else out(`${strong(verdict(share, all))}\n${heading(input)}\n\n${text(all)}`);
  return 0;
}

function verdict(share: number, all: readonly JointAssistance[]): string {
  if (all.length === 0) return 'This leg drives no joint: nobody is assisted.';
  const told = all.map(({ joint, effort, breakEven, tasks }) => {
    if (breakEven === null && Number.isNaN(effort))
      return `${joint} not known, no task of the schedule has moments`;
    const weak = tasks.filter(({ torqueMargin }) => torqueMargin < 1).length;
    const from =
      breakEven === null
        ? 'no share helps'
        : breakEven === 0
          ? 'any share helps'
          : `helps from ${fixed(100 * breakEven, 0)} %`;
    return `${joint} leaves ${fixed(100 * effort, 0)} % of the effort, ${from}${weak > 0 ? `, beyond the motor in ${weak} task${weak === 1 ? '' : 's'}` : ''}`;
  });
  return `With ${fixed(100 * share, 0)} % of the human moment: ${told.join('; ')}.`;
}

function text(all: readonly JointAssistance[]): string {
  return [
    ...all.map(({ joint, tasks, effortUnpowered, leftOut }) =>
      [
        `${joint}: unpowered it takes ${fixed(100 * effortUnpowered, 0)} % of the effort of walking without it`,
        table(
          [
            { head: 'task', align: 'left' },
            { head: 'alone', unit: 'RMS N·m' },
            { head: 'assisted', unit: 'RMS N·m' },
            { head: 'unpowered', unit: 'RMS N·m' },
            { head: 'alone', unit: 'peak N·m' },
            { head: 'assisted', unit: 'peak N·m' },
            { head: 'unpowered', unit: 'peak N·m' },
            { head: 'alone', unit: '+J' },
            { head: 'assisted', unit: '+J' },
            { head: 'unpowered', unit: '+J' },
            { head: 'motor', unit: 'peak N·m' },
            { head: 'limit ÷ need' },
          ],
          tasks.map(({ title, alone, wearer, unpowered, peakMotorTorque, torqueMargin }) => [
            title,
            ...[alone, wearer, unpowered].map(({ rms }) => significant(rms)),
            ...[alone, wearer, unpowered].map(({ peak }) => significant(peak)),
            ...[alone, wearer, unpowered].map(({ positiveWork }) => significant(positiveWork)),
            significant(peakMotorTorque),
            fixed(torqueMargin, 2),
          ]),
        ),
        leftOut.length === 0 ? '' : `Left out, no curve with moments: ${leftOut.join('; ')}.`,
      ]
        .filter((part) => part !== '')
        .join('\n'),
    ),
    list([
      'Effort is the RMS moment left to the wearer over the schedule, of what they would give without the device. +J is positive work a stride.',
      'The motor is asked for its share through the ratio and no more: inertia, drag and mesh loss of the drive are the wearer’s to move. A motor command that hides them can only do so as far as they are known.',
      'Motion unchanged, the limb the wearer’s own; what the device weighs is not in it. People change how they walk when they are assisted.',
      'Whoever assists somebody can also hinder them: torque and speed limits outside the controller, and a joint that lets go when power does.',
    ]),
    CAUTION,
  ].join('\n\n');
}

/** A row a task, SI units. */
const assistCsv = (all: readonly JointAssistance[]): string => {
  const states = ['alone', 'assisted', 'unpowered'];
  const figures = ['rms N·m', 'peak N·m', 'positive work J', 'negative work J'];
  return csv(
    [
      'joint',
      'share',
      'task',
      ...states.flatMap((state) => figures.map((figure) => `${state}, ${figure}`)),
      'motor peak N·m',
      'limit ÷ need',
    ],
    all.flatMap(({ joint, share, tasks }) =>
      tasks.map(({ id, alone, wearer, unpowered, peakMotorTorque, torqueMargin }) => [
        joint,
        share,
        id,
        ...[alone, wearer, unpowered].flatMap((f) => [f.rms, f.peak, f.positiveWork, f.negativeWork]),
        peakMotorTorque,
        torqueMargin,
      ]),
    ),
  );
};
