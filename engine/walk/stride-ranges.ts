import { LOG, LOG_WIDTH, type WalkLog } from './walk-log.ts';

/** Rows of one stride in a walk's log, from its contact up to the next, that one left out. */
export interface StrideRange {
  readonly from: number;
  readonly to: number;
  /** Where the foot leaves the ground: the first row without ground force after the largest; `to` where there is none. */
  readonly lifted: number;
  /** False for what stands of a stride in which the walk ended. */
  readonly whole: boolean;
}

/**
 * The strides of a walk: from each contact that the controller saw to the next, and where the walk fell what stands of its last one.
 * What comes before the first contact is no stride, unless there is nothing else. One stretch is one, from its beginning to its end.
 */
export function strideRanges(log: WalkLog): StrideRange[] {
  const { rows, table } = log;
  if (log.stretch) return rows === 0 ? [] : [rangeOf(log, 0, rows, log.fell === undefined)];
  const contacts: number[] = [];
  for (let i = 1; i < rows; i++)
    if (table[i * LOG_WIDTH + LOG.mode] === 0 && table[(i - 1) * LOG_WIDTH + LOG.mode] === 1)
      contacts.push(i);
  const ranges = contacts.slice(1).map((to, k) => rangeOf(log, contacts[k], to, true));
  return log.fell === undefined ? ranges : [...ranges, rangeOf(log, contacts.at(-1) ?? 0, rows, false)];
}

function rangeOf({ table }: WalkLog, from: number, to: number, whole: boolean): StrideRange {
  let hardest = from;
  for (let i = from; i < to; i++)
    if (table[i * LOG_WIDTH + LOG.up] > table[hardest * LOG_WIDTH + LOG.up]) hardest = i;
  let lifted = hardest;
  // the centre of pressure is told wherever there is enough force to have one
  while (lifted < to && !Number.isNaN(table[lifted * LOG_WIDTH + LOG.pressure])) lifted++;
  return { from, to, lifted, whole };
}
