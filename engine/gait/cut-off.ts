import { sampleCurve } from './curve.ts';
import { harmonicsWithin, smoothPeriodic } from './smooth-periodic.ts';

/** What one cut-off would leave of a recording. */
export interface CutOffChoice {
  /** Hz */
  readonly cutOff: number;
  readonly harmonics: number;
  /** RMS of what is taken away, per curve, as a share of its range. */
  readonly residual: Readonly<Record<string, number>>;
  /** Greatest generation of each joint with a moment, moment × velocity, W/kg. */
  readonly peakPower: Readonly<Record<string, number>>;
}

/** Cut-offs that are shown beside the chosen one, Hz. */
const SHOWN = [3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30];

/**
 * Residual analysis: RMS between the mean curves and their cut series for a row of cut-offs, and the push-off each leaves.
 *
 * Where only noise is left to take away the residual falls along a straight, shallow line; where it bends upward the cut
 * eats signal. Judging by the residual is COMMON PRACTICE. The peak power beside it shows the trap that the residual
 * hides: push-off is short, and loses height long before the angle's residual shows anything.
 */
export function cutOffChoices(
  curves: Readonly<Record<string, Float64Array>>,
  strideTime: number,
  chosen: number,
  mostHarmonics: number,
): readonly CutOffChoice[] {
  const cutOffs = [...new Set([...SHOWN, chosen])].sort((a, b) => a - b);
  return cutOffs.flatMap((cutOff): CutOffChoice[] => {
    const harmonics = harmonicsWithin(cutOff, strideTime);
    if (harmonics < 1 || harmonics > mostHarmonics) return [];
    const residual: Record<string, number> = {};
    const peakPower: Record<string, number> = {};
    for (const [name, y] of Object.entries(curves)) {
      residual[name] = rmsDifference(y, sampleCurve(smoothPeriodic(y, harmonics)).value) / rangeOf(y);
      const angle = curves[name.replace('.moment', '.angle')];
      if (!name.endsWith('.moment') || angle === undefined) continue;
      const moment = sampleCurve(smoothPeriodic(y, harmonics)).value;
      const { slope } = sampleCurve(smoothPeriodic(angle, harmonics));
      peakPower[name.replace('.moment', '')] = moment.reduce(
        (most, m, i) => Math.max(most, (m * slope[i] * 100) / strideTime),
        0,
      );
    }
    return [{ cutOff, harmonics, residual, peakPower }];
  });
}

export function rangeOf(y: ArrayLike<number>): number {
  let low = y[0];
  let high = y[0];
  for (let i = 1; i < y.length; i++) {
    if (y[i] < low) low = y[i];
    if (y[i] > high) high = y[i];
  }
  return high - low;
}

function rmsDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] - b[i]) ** 2;
  return Math.sqrt(sum / a.length);
}
