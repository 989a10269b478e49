import type { JointName, Stride } from './stride.ts';
import type { StrideTask } from './task.ts';

/** By what a published moment curve is multiplied, beside body mass, and why. */
export interface MomentScale {
  readonly factor: number;
  readonly notes: readonly string[];
}

/**
 * Peak plantarflexor moment of level walking, N·m/kg, at `speed` m/s: treadmill means of 22 adults at 24 speeds,
 * 0.5–1.85 m/s, RMS of the fit 0.016:  M = 0.584 + 1.148·v − 0.299·v².
 * Derived from the group means of Camargo and others, J. Biomechanics 119 (2021) 110320 (data CC BY 4.0).
 */
export const treadmillAnklePeak = (speed: number): number => 0.584 + 1.148 * speed - 0.299 * speed * speed;

/** Fast overground walking, 10 adults; same source, peaks table. */
const FAST_ANKLE_PEAK = 1.8;

/** Intact side of nine users of passive above-knee prostheses, 1.4 m/s: Hood and others, Scientific Data 7 (2020) 150. */
const INTACT_SIDE_ANKLE_PEAK = 2.02;

function ankleTarget(task: StrideTask, speed: number | undefined): { peak: number; why: string } | undefined {
  if (task.ankleSizing === 'intact side') {
    return {
      peak: INTACT_SIDE_ANKLE_PEAK,
      why: 'the intact ankle of prosthesis users at 1.4 m/s (Hood and others, 2020)',
    };
  }
  if (task.ankleSizing === 'curve' || speed === undefined) return undefined;
  if (speed > 1.85)
    return { peak: FAST_ANKLE_PEAK, why: 'fast overground walking (Camargo and others, 2021)' };
  return {
    peak: treadmillAnklePeak(speed),
    why: `treadmill regression at ${speed} m/s (Camargo and others, 2021)`,
  };
}

/**
 * Scale of one joint's moment curve.
 *
 *     scale = (M_sizing/|M_peak|)·(1 + k·SD_peak/|M_peak|)
 *
 * Coverage k multiplies the whole curve. Adding k·SD point by point would invent moments in swing, where the deviation is
 * large and the moment is not, and would break power = moment × velocity. Sizing applies to the ankle of level walking, whose
 * ensemble mean peaks low, and only upwards: a curve that already exceeds the published peak is left alone.
 */
export function momentScale(
  task: StrideTask,
  stride: Stride,
  joint: JointName,
  meanPeak: number,
): MomentScale {
  const notes: string[] = [];
  let factor = 1;
  const target =
    joint === 'ankle' && stride.activity === 'level walking' ? ankleTarget(task, stride.speed) : undefined;
  if (target !== undefined && target.peak > meanPeak) {
    factor *= target.peak / meanPeak;
    notes.push(
      `Ankle sized on ${target.peak.toFixed(2)} N·m/kg, not the curve's ${meanPeak.toFixed(2)}: ${target.why}.`,
    );
  }
  if (task.coverage > 0) {
    const sd = stride.joints[joint]?.momentPeakSd;
    if (sd === undefined) {
      notes.push(
        `Coverage ${task.coverage} not applied to the ${joint}: no deviation was published with this curve.`,
      );
    } else {
      const cover = 1 + (task.coverage * sd) / meanPeak;
      factor *= cover;
      notes.push(
        `Whole ${joint} curve × ${cover.toFixed(2)} for ${task.coverage} deviations of ${sd} N·m/kg at its peak.`,
      );
    }
  }
  return { factor, notes };
}
