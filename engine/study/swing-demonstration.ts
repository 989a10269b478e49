import type { Pace } from '../control/time-warp.ts';
import { curveAt } from '../gait/curve.ts';
import { type HandSwing, recordedPlace } from './hand-swing.ts';

/** A walk that shows what a phase does. */
export interface SwingDemonstration {
  /** Where on its path, strides, and strides per second. */
  readonly pace: Pace;
  /** s in all; and between which the thigh is held. */
  readonly lasts: number;
  readonly heldFrom: number;
  readonly heldTo: number;
}

/** s of holding. Our choice: long enough for a phase that walks on to go more than a stride. */
const HELD = 2;

/**
 * From one toe-off a whole stride at the stride's own pace; then to where the recorded thigh is half way, held there for 2 s, and on to the
 * toe-off after. The thigh stops and starts at once, as a pace no wearer has; the path has no jump.
 */
export function swingDemonstration(of: HandSwing): SwingDemonstration {
  const { stance, strideTime } = of.plan.stride;
  const half = recordedPlace(of, (of.ownWay[0] + of.ownWay[of.ownWay.length - 1]) / 2);
  const heldFrom = (1 + half - stance) * strideTime;
  const heldTo = heldFrom + HELD;
  const lasts = 2 * strideTime + HELD;
  return {
    lasts,
    heldFrom,
    heldTo,
    pace: (t) => {
      const gone = Math.min(t, heldFrom) + Math.max(0, t - heldTo);
      return {
        x: stance + gone / strideTime,
        rate: t > heldFrom && t < heldTo ? 0 : 1 / strideTime,
      };
    },
  };
}

/** The thigh t seconds into it: share of the stride, rad, rad/s. */
export function demonstratedThigh(
  of: HandSwing,
  { pace }: SwingDemonstration,
  t: number,
): { readonly place: number; readonly thigh: number; readonly rate: number } {
  const { x, rate } = pace(t);
  const place = x - Math.floor(x);
  const { value, slope } = curveAt(of.plan.own.thigh, 100 * place);
  return { place, thigh: value, rate: 100 * slope * rate };
}
