import type { DriveFigures } from '../drive/drive-figures.ts';
import type { DriveLoad } from '../drive/drive-load.ts';
import type { PeaksLoad } from '../drive/peaks-load.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { Range } from '../gait/task.ts';
import type { DesignResult } from './design.ts';
import type { StudyInput } from './study-input.ts';

/** A predicted number, where it occurs and in which task, or why there is none. */
export type MetricValue =
  | { readonly value: number; readonly at?: string; readonly task?: string }
  | { readonly openBecause: string };

/** A metric of one design: joint, and one task or the worst of all. */
export type MetricFunction = (
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  task: string | undefined,
) => MetricValue;

/** How one figure is found over the tasks: from a stride's load, from published peaks, and which way is worse. */
export interface OverTasks {
  readonly of: (load: DriveLoad) => { readonly value: number; readonly index?: number };
  readonly ofPeaks?: (peaks: PeaksLoad) => Range | undefined;
  readonly worse: 'larger' | 'smaller';
  /** Why a stride may have none. */
  readonly missing: 'no moment' | 'no motion';
}

const short = (x: number): string => (x === Number.POSITIVE_INFINITY ? '∞' : x.toPrecision(3));

/**
 * The worst of one figure over the tasks that have it, or of one task. Tasks that could not be judged are named beside it. A load
 * beyond saturation is never passed over: no current gives it, so there is no number for the whole.
 */
export function worst(
  design: DesignResult,
  joint: DrivenJoint,
  only: string | undefined,
  { of, ofPeaks, worse, missing }: OverTasks,
): MetricValue {
  let found: Found | undefined;
  const notJudged: string[] = [];
  const take = (id: string, value: number, index: number | undefined, range: Range | undefined): void => {
    if (found === undefined || (worse === 'larger' ? value > found.value : value < found.value))
      found = { id, value, index, range };
  };
  for (const id of Object.keys(design.demands)) {
    if (only !== undefined && id !== only) continue;
    const demand = design.demands[id]!;
    const load = design.loads[id]?.[joint];
    const peaks = design.peaks[id]?.[joint];
    const range = peaks && ofPeaks?.(peaks);
    if (range !== undefined) take(id, range.low, undefined, range);
    else if (load === undefined) notJudged.push(demand.task.title);
    else {
      const { value, index } = of(load);
      if (!Number.isNaN(value)) take(id, value, index, undefined);
      else if (Number.isNaN(load.peakTorque)) notJudged.push(demand.task.title);
      else
        return {
          openBecause: `${demand.task.title}: no current gives the ${short(load.peakTorque)} N·m it asks of the motor, which is beyond saturation`,
        };
    }
  }
  if (found === undefined) {
    const curve = missing === 'no moment' ? `${joint} curve with moments` : `${joint} motion`;
    return { openBecause: only === undefined ? `no task has a ${curve}` : `task ${only} has no ${curve}` };
  }
  const without =
    only !== undefined || notJudged.length === 0
      ? ''
      : `; not judged, ${missing} at the ${joint}: ${notJudged.join('; ')}`;
  return { value: found.value, at: placeOf(design, found) + without, task: found.id };
}

/** The worst so far: put in words only when it is known to be the worst of all. */
interface Found {
  readonly id: string;
  readonly value: number;
  readonly index: number | undefined;
  readonly range: Range | undefined;
}

function placeOf(design: DesignResult, { id, index, range }: Found): string {
  const demand = design.demands[id]!;
  const { title } = demand.task;
  if (range !== undefined) {
    const whole = range.low === range.high ? '' : ` ${short(range.low)} … ${short(range.high)}`;
    return `${title}, published range${whole}; peaks only, no curve`;
  }
  return index === undefined ? title : `${title}, ${(demand as StrideDemand).percent[index]?.toFixed(1)} %`;
}

/** A figure of the joint that needs no task; `why` where there is none. */
export const figure =
  (pick: (f: DriveFigures) => number | undefined, why: string): MetricFunction =>
  (_, design, joint) => {
    const f = design.figures[joint];
    const value = f === undefined ? undefined : pick(f);
    return value === undefined || Number.isNaN(value)
      ? { openBecause: f === undefined ? `the leg has no ${joint} drive` : why }
      : { value };
  };

/** A figure of the unpowered knee's swing; `why` where the knee has none. */
export const swingFigure =
  (pick: (swing: NonNullable<DriveFigures['swing']>) => number, why: string): MetricFunction =>
  (input, design, joint, task) =>
    joint === 'knee'
      ? figure((f) => f.swing && pick(f.swing), why)(input, design, joint, task)
      : { openBecause: 'only the knee swings free: the foot hangs from it' };
