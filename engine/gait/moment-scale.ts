import { Fault } from '../quantity/fault.ts';
import { ankleTarget } from './ankle-sizing.ts';
import type { JointName, Stride } from './stride.ts';
import type { StrideTask } from './task.ts';

/** By what a published moment curve is multiplied, beside body mass, and why. */
export interface MomentScale {
  readonly factor: number;
  /** Part of the factor that covers people above the mean person: 1 + k·SD_peak/|M_peak|. */
  readonly cover: number;
  /** SD_peak/|M_peak| between people; NaN where none was published. */
  readonly scatter: number;
  readonly notes: readonly string[];
}

/** Share by which a published peak must exceed the curve's before it counts as another: the printed last digit of 1.5. */
const SAME_PEAK = 0.005;

/**
 * Scale of one joint's moment curve.
 *
 *     scale = (M_sizing/|M_peak|)·(1 + k·SD_peak/|M_peak|)
 *
 * Coverage k multiplies the whole curve. Adding k·SD point by point would invent moments in swing, where the deviation is
 * large and the moment is not, and would break power = moment × velocity. Sizing applies to the ankle of level walking, whose
 * ensemble mean peaks low, and only upwards: a curve that already reaches the published peak is left alone.
 *
 * `meanPeak` is |M_peak| of the curve, N·m/kg. Fault: a coverage that is not a number from 0 up.
 */
export function momentScale(
  task: StrideTask,
  stride: Stride,
  joint: JointName,
  meanPeak: number,
): MomentScale {
  if (!(task.coverage >= 0 && Number.isFinite(task.coverage))) {
    throw new Fault({
      code: 'gait.coverage',
      what: `Coverage counts standard deviations above the mean person, from 0 up, not ${task.coverage}`,
      mend: 'Use 0 for the mean person, 1.645 for 95 of 100 where people scatter normally',
      place: { path: `tasks.${task.id}.coverage` },
    });
  }
  const notes: string[] = [];
  if (Number.isNaN(meanPeak)) return { factor: 1, cover: 1, scatter: Number.NaN, notes };
  const sd = stride.joints[joint]?.momentPeakSd;
  let factor = 1;
  let cover = 1;
  if (joint === 'ankle' && stride.activity === 'level walking') {
    const target = ankleTarget(task.ankleSizing, stride.speed);
    if (target.peak !== undefined && target.peak > meanPeak * (1 + SAME_PEAK)) {
      factor *= target.peak / meanPeak;
      notes.push(
        `Ankle sized on ${target.peak.toFixed(2)} N·m/kg, not the curve's ${meanPeak.toFixed(2)}: ${target.why}.`,
      );
    } else {
      const than = target.peak === undefined ? '' : `, no less than ${target.peak.toFixed(2)}`;
      notes.push(`Ankle keeps the curve's own ${meanPeak.toFixed(2)} N·m/kg${than}: ${target.why}.`);
    }
  }
  if (task.coverage > 0) {
    if (sd === undefined) {
      notes.push(
        `Coverage ${task.coverage} not applied to the ${joint}: no deviation was published with this curve.`,
      );
    } else {
      cover = 1 + (task.coverage * sd) / meanPeak;
      factor *= cover;
      notes.push(
        `Whole ${joint} curve × ${cover.toFixed(2)} for ${task.coverage === 1 ? 'one deviation' : `${task.coverage} deviations`} of ${Number(sd.toPrecision(3))} N·m/kg at its peak.`,
      );
    }
  }
  return { factor, cover, scatter: sd === undefined ? Number.NaN : sd / meanPeak, notes };
}
