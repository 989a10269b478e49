import {
  BACK_DRIVE_SPEED,
  type BackDriveOverAngle,
  type BackDriveWay,
  type DrivenJoint,
  degFromRad,
  type JointBackDrive,
  PUBLISHED_BACK_DRIVE,
  type Rad,
  TRANSPARENCY_LIMITS,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { degPerSecond } from './demand-summary.ts';
import { fixed, significant } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { table } from './table.ts';

/** Back-driving of a joint, or why it is not known. */
export type JointBackDrives = readonly (readonly [
  DrivenJoint,
  JointBackDrive | { readonly openBecause: string },
])[];

const percent = (share: number): string => `${significant(100 * share)} %`;

/** One line first: the class of each joint and its two shares. */
export function backDriveVerdict(moved: JointBackDrives): string {
  if (moved.length === 0) return 'This leg drives no joint: nothing to move through a motor.';
  const told = moved.map(([joint, drive]) => {
    if ('openBecause' in drive) return `${joint} not known`;
    const { backdriveShare, inertiaShare, torque, class: named } = drive.transparency;
    return `${joint} ${named ?? 'without class'} (breakaway ${percent(backdriveShare)} of peak torque, inertia ${significant(inertiaShare)}× the limb’s, ±${significant(torque.amplitude)} N·m to ${significant(torque.frequency)} Hz)`;
  });
  return `Transparency: ${told.join('; ')}.`;
}

/** Each joint: torque to start and to keep moving, both ways; notes and cautions once. */
export function backDriveText(moved: JointBackDrives): string {
  if (moved.length === 0) return 'A passive joint is compared in the demand: striderule demand show.';
  const { transparent, fair } = TRANSPARENCY_LIMITS;
  return [
    ...moved.map(([joint, drive]) =>
      'openBecause' in drive
        ? paragraph(`${joint}: not predicted, ${drive.openBecause}.`)
        : jointText(joint, drive),
    ),
    list([
      `Our own classes, no standard’s: transparent up to ${percent(transparent.backdriveShare)} and ${transparent.inertiaShare}× and from ${transparent.bandwidth} Hz at half the peak torque on, fair up to ${percent(fair.backdriveShare)} and ${fair.inertiaShare}× and from ${fair.bandwidth} Hz on, the worst of the three counting. That a ratio below about 24:1 counts as low is a hint and nothing more (COMMON PRACTICE).`,
      ...PUBLISHED_BACK_DRIVE.map(
        ({ backDrive, torque, source }) =>
          `Beside it, another joint as published: ${backDrive} N·m of ${torque} N·m, ${percent(backDrive / torque)}. ${source}.`,
      ),
      'A model knows no unlike directions but for a spring, and no angle but by cogging and spring: measure both ways, at eight angles or more, unpowered and powered, warm and cold, and say which motion counted as moving.',
      'What a hand moves easily, a body’s weight moves too: a knee that is easily back-driven collapses when power is cut in stance. See striderule drive powerloss.',
    ]),
    CAUTION,
  ].join('\n\n');
}

const mean = (y: Float64Array): number => y.reduce((sum, x) => sum + x, 0) / y.length;
const cells = ({ mean: usual, max }: BackDriveWay): readonly string[] => [
  significant(mean(usual)),
  significant(Math.max(...max)),
];

function jointText(joint: DrivenJoint, drive: JointBackDrive): string {
  const { breakaway, moving, start } = drive;
  const row = (state: string, over: BackDriveOverAngle): readonly string[] => [
    state,
    ...cells(over.flexion),
    ...cells(over.extension),
  ];
  const [one, other] = joint === 'knee' ? ['flexion', 'extension'] : ['dorsiflexion', 'plantarflexion'];
  const at = `at ${fixed(degPerSecond(BACK_DRIVE_SPEED), 0)} °/s`;
  const lost = moving.powerLost;
  const cogging = Number.isNaN(breakaway.coggingPeriod)
    ? 'Cogging is not known by angle: add `cogging` to the motor; until then mean and largest differ only by a spring.'
    : `One period of the cogging is ${significant(degFromRad(breakaway.coggingPeriod as Rad))}° at the joint: a hand that moves it by more meets the largest everywhere.`;
  return [
    `${joint}, N·m at the joint over ${breakaway.angle.length} angles of its range`,
    table(
      [
        { head: 'state', align: 'left' },
        { head: one!, unit: 'mean' },
        { head: '', unit: 'largest' },
        { head: other!, unit: 'mean' },
        { head: '', unit: 'largest' },
      ],
      [
        row('to start: open, shorted, or powered with zero current', breakaway),
        row(`${at}: open, or powered with zero current`, moving.open),
        row(`${at}: shorted`, moving.shorted),
        ...(lost === undefined || lost.short === 0 || lost.short === 'open'
          ? []
          : [row(`${at}: shorted through ${significant(lost.short)} Ω each`, lost.over)]),
      ],
    ),
    paragraph(
      `${cogging} From the motor’s side ${significant(start.torque)} N·m on the shaft, ${significant(start.current)} A peak phase, just start it unloaded.`,
    ),
  ].join('\n');
}
