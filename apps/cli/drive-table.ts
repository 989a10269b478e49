import {
  type DesignResult,
  type DriveLoad,
  type DrivenJoint,
  degFromRad,
  type Rad,
  type StudyInput,
  type Task,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { degPerSecond } from './demand-summary.ts';
import { peaksRowsOf, peaksTable, ratioText } from './drive-peaks.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { csv, table } from './table.ts';

interface Row {
  readonly task: string;
  readonly joint: DrivenJoint;
  readonly load: DriveLoad;
}

const rowsOf = (
  tasks: readonly Task[],
  joints: readonly DrivenJoint[],
  result: DesignResult,
): readonly Row[] =>
  tasks.flatMap(({ id }) =>
    joints.flatMap((joint) => {
      const load = result.loads[id]?.[joint];
      return load === undefined ? [] : [{ task: id, joint, load }];
    }),
  );

/** The scarcest of one margin over strides and published peaks, the worse end of a range counting. */
function least(
  tasks: readonly Task[],
  joints: readonly DrivenJoint[],
  result: DesignResult,
  margin: 'torqueMargin' | 'speedMargin',
): { readonly task: string; readonly joint: DrivenJoint; readonly value: number } | undefined {
  return [
    ...rowsOf(tasks, joints, result).map(({ task, joint, load }) => ({ task, joint, value: load[margin] })),
    ...peaksRowsOf(tasks, joints, result).map(({ task, joint, peaks }) => ({
      task,
      joint,
      value: peaks[margin]?.low ?? Number.NaN,
    })),
  ]
    .filter(({ value }) => !Number.isNaN(value))
    .sort((a, b) => a.value - b.value)[0];
}

/** One line first: the scarcest torque and speed over all tasks, limit ÷ need. */
export function driveVerdict(
  tasks: readonly Task[],
  joints: readonly DrivenJoint[],
  result: DesignResult,
): string {
  if (joints.length === 0) return 'This leg drives no joint: nothing to check.';
  const torque = least(tasks, joints, result, 'torqueMargin');
  const speed = least(tasks, joints, result, 'speedMargin');
  const told = [
    torque && `torque ${significant(torque.value)}× (${torque.joint}, ${torque.task})`,
    speed && `speed ${significant(speed.value)}× (${speed.joint}, ${speed.task})`,
  ].filter((part) => part !== undefined);
  if (told.length === 0) return 'No task here has a curve or published peaks: nothing to check.';
  const short = [torque, speed].some((scarcest) => scarcest !== undefined && scarcest.value < 1);
  return `${short ? 'Not enough' : 'Enough'}: least limit ÷ need is ${told.join(', ')}.`;
}

/** Figures of the joints, then what the motor sees in each task, then hints and cautions. */
export function driveTables(
  input: StudyInput,
  tasks: readonly Task[],
  joints: readonly DrivenJoint[],
  result: DesignResult,
): string {
  if (joints.length === 0) return 'A passive joint is compared in the demand: striderule demand show.';
  const rows = rowsOf(tasks, joints, result);
  const left = tasks.filter(({ id }) => !rows.some((row) => row.task === id)).map(({ id }) => id);
  const hints = [
    ...new Set(
      joints.flatMap((joint) => (result.figures[joint]?.hints ?? []).map((hint) => `${joint}: ${hint}`)),
    ),
  ];
  return [
    figureTable(input, joints, result),
    rows.length === 0 ? '' : loadTable(rows),
    left.length === 0 ? '' : `No curve, so no motor torque over the stride: ${left.join(', ')}.`,
    peaksTable(peaksRowsOf(tasks, joints, result)),
    scheduleText(joints, result),
    ratioText(input, joints, result),
    `Hints (COMMON PRACTICE, no limits)\n${merged(hints, joints)}`,
    'Motor torque and current at their magnitude. Cold motor, stiff bus: striderule drive heat says how warm it gets, striderule drive energy how far the bus sags, striderule drive powerloss what is left without power.',
    CAUTION,
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

/** RMS over the day's or the test's schedule, and what had no curve to weigh. */
function scheduleText(joints: readonly DrivenJoint[], result: DesignResult): string {
  return joints
    .flatMap((joint) => {
      const load = result.schedule[joint];
      if (load === undefined) return [];
      const without =
        load.leftOut.length === 0 ? '' : `; left out, no curve with moments: ${load.leftOut.join(', ')}`;
      return [
        `Schedule, ${joint}: rms ${significant(load.rmsTorque)} N·m motor over ${fixed(load.time / 60, 0)} min${without}.`,
      ];
    })
    .join('\n');
}

/** Hints that all joints share are said once. */
function merged(hints: readonly string[], joints: readonly DrivenJoint[]): string {
  const texts = [...new Set(hints.map((hint) => hint.slice(hint.indexOf(': ') + 2)))];
  return texts
    .map((text) => {
      const who = joints.filter((joint) => hints.includes(`${joint}: ${text}`));
      return `- ${who.length === joints.length ? '' : `${who.join(', ')}: `}${text}`;
    })
    .join('\n');
}

function figureTable(input: StudyInput, joints: readonly DrivenJoint[], result: DesignResult): string {
  const row = (
    name: string,
    unit: string,
    of: (figures: NonNullable<DesignResult['figures'][DrivenJoint]>) => string,
  ): readonly string[] => [
    name,
    ...joints.map((joint) => (result.figures[joint] ? of(result.figures[joint]) : GAP)),
    unit,
  ];
  const ratio = [
    'ratio',
    ...joints.map((joint) => significant(input.leg.joints[joint]?.transmission.ratio)),
    ': 1',
  ];
  return table(
    [
      { head: 'figure', align: 'left' },
      ...joints.map((joint) => ({ head: joint })),
      { head: 'unit', align: 'left' as const },
    ],
    [
      ratio,
      row('peak joint torque, lossless', 'N·m', (f) => significant(f.peakTorqueLossless)),
      row('peak joint torque, with drag and mesh', 'N·m', (f) => significant(f.peakTorque)),
      row('joint speed without load', '°/s', (f) => fixed(degPerSecond(f.unloadedSpeed), 0)),
      row('reflected inertia', 'kg·m²', (f) => significant(f.reflectedInertia)),
      row('breakaway, unpowered', 'N·m', (f) => significant(f.breakaway)),
      row('back-drive torque, moving slowly', 'N·m', (f) => significant(f.backDrive)),
      row('dead angle of the free swing', '°', (f) =>
        significant(f.swing && degFromRad(f.swing.deadAngle as Rad)),
      ),
      row('half period of the free swing', 's', (f) => significant(f.swing?.halfPeriod)),
    ],
  );
}

function loadTable(rows: readonly Row[]): string {
  return table(
    [
      { head: 'task', align: 'left' },
      { head: 'joint', align: 'left' },
      { head: 'peak torque', unit: 'N·m motor' },
      { head: 'at', unit: '%' },
      { head: 'rms torque', unit: 'N·m motor' },
      { head: 'peak current', unit: 'A peak phase' },
      { head: 'torque margin', unit: 'limit ÷ need' },
      { head: 'speed margin', unit: 'limit ÷ need' },
      { head: 'at', unit: '%' },
      { head: 'back-driven', unit: '% of stride' },
    ],
    rows.map(({ task, joint, load }, k) => {
      const percent = (index: number): string =>
        index < 0 ? GAP : fixed((index / (load.motorTorque.length - 1)) * 100, 1);
      return [
        rows[k - 1]?.task === task ? '' : task,
        joint,
        significant(load.peakTorque),
        percent(load.peakTorqueIndex),
        significant(load.rmsTorque),
        significant(load.peakCurrent),
        significant(load.torqueMargin),
        significant(load.speedMargin),
        percent(load.speedMarginIndex),
        fixed(load.backDrivenShare * 100, 0),
      ];
    }),
  );
}

/** The tasks as CSV. */
export function driveCsv(
  tasks: readonly Task[],
  joints: readonly DrivenJoint[],
  result: DesignResult,
): string {
  return csv(
    [
      'task',
      'joint',
      'peak motor torque (N·m)',
      'rms motor torque (N·m)',
      'peak current (A peak phase)',
      'torque margin (limit ÷ need)',
      'speed margin (limit ÷ need)',
      'share of stride back-driven',
    ],
    rowsOf(tasks, joints, result).map(({ task, joint, load }) => [
      task,
      joint,
      load.peakTorque,
      load.rmsTorque,
      load.peakCurrent,
      load.torqueMargin,
      load.speedMargin,
      load.backDrivenShare,
    ]),
  );
}
