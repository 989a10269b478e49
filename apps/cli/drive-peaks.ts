import {
  type DesignResult,
  type DrivenJoint,
  type PeaksLoad,
  type StudyInput,
  scheduleRatio,
  type Task,
} from '@striderule/engine';
import { GAP, significant } from './number-text.ts';
import { table } from './table.ts';

/** One joint of a task of which only peaks are published. */
export interface PeaksRow {
  readonly task: string;
  readonly joint: DrivenJoint;
  readonly peaks: PeaksLoad;
}

export const peaksRowsOf = (
  tasks: readonly Task[],
  joints: readonly DrivenJoint[],
  result: DesignResult,
): readonly PeaksRow[] =>
  tasks.flatMap(({ id }) =>
    joints.flatMap((joint) => {
      const peaks = result.peaks[id]?.[joint];
      return peaks === undefined ? [] : [{ task: id, joint, peaks }];
    }),
  );

const rangeText = (range: { readonly low: number; readonly high: number } | undefined): string => {
  if (range === undefined) return GAP;
  if (range.low === range.high) return significant(range.low);
  return range.high === Number.POSITIVE_INFINITY
    ? `from ${significant(range.low)}`
    : `${significant(range.low)} … ${significant(range.high)}`;
};

/** Margins of peaks-only tasks as ranges; they have no curve, so neither heat nor energy. */
export function peaksTable(rows: readonly PeaksRow[]): string {
  if (rows.length === 0) return '';
  return `Published peaks only, no curve: no heat, no energy\n${table(
    [
      { head: 'task', align: 'left' },
      { head: 'joint', align: 'left' },
      { head: 'torque margin', unit: 'limit ÷ need' },
      { head: 'speed margin', unit: 'limit ÷ need' },
    ],
    rows.map(({ task, joint, peaks }, k) => [
      rows[k - 1]?.task === task ? '' : task,
      joint,
      rangeText(peaks.torqueMargin),
      rangeText(peaks.speedMargin),
    ]),
  )}`;
}

/** What the schedule's strides say of the ratio, a line each joint. */
export function ratioText(input: StudyInput, joints: readonly DrivenJoint[], result: DesignResult): string {
  return joints
    .flatMap((joint) => {
      const fact = scheduleRatio(input, result, joint);
      if (fact === undefined) return [];
      const within =
        fact.admissible === undefined
          ? ''
          : fact.admissible === null
            ? '; no ratio keeps within the continuous torque'
            : `; within the continuous torque from ${significant(fact.admissible.least)}:1`;
      return [
        `Ratio of least rms torque, ${joint}: ${significant(fact.optimum)}:1 without friction, a fact of the strides and not the choice${within}.`,
      ];
    })
    .join('\n');
}
