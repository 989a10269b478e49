import type { SlopeChoice } from './controller.ts';
import { SLOPE_STATUS, SPEED } from './speed-memory.ts';
import { WALK, WALK_STATUS } from './walk-estimate.ts';

/**
 * A stance has been judged: what its slope makes of the one that maps go by, rad.
 *
 *     s ← s + w·(γ̂ − s)                                     w: `share`
 *     γ ← γ + max(−c, min(ℓ(s) − γ, c)),   ℓ(s) = s·min(1, max(0, |s|/a − 1))     c: `change`, a: `level`
 *
 * ℓ is 0 up to a either way, s from 2·a on, and joins the two without a step: readings that wander on the level change nothing, and one at the
 * edge does not switch. A stance that was refused, lies beyond the file's ends or was no walking leaves both; after `hold` of these in a row
 * s is 0, and the slope goes back to the level by no more than c a stance.
 */
export function takeSlope(
  of: SlopeChoice,
  own: Float64Array,
  walk: Float64Array,
  lean: number,
  walks: boolean,
): void {
  const read = agreed(walk[WALK.incline], lean, of.level);
  let status = walk[WALK.status];
  if (status === WALK_STATUS.read) {
    if (!walks) status = SLOPE_STATUS['no walking'];
    else if (!Number.isFinite(read)) status = SLOPE_STATUS['no number'];
    else if (!(read >= of.from && read <= of.to)) status = SLOPE_STATUS['beyond its ends'];
  }
  own[SPEED.slopeStatus] = status;
  if (status === WALK_STATUS.read) {
    own[SPEED.unread] = 0;
    own[SPEED.smoothed] += of.share * (read - own[SPEED.smoothed]);
  } else {
    own[SPEED.unread] = Math.min(own[SPEED.unread] + 1, of.hold);
    if (own[SPEED.unread] < of.hold) return;
    own[SPEED.smoothed] = 0;
  }
  const s = own[SPEED.smoothed];
  const step = s * Math.min(1, Math.max(0, Math.abs(s) / of.level - 1)) - own[SPEED.slope];
  own[SPEED.slope] += Math.max(-of.change, Math.min(step, of.change));
}

/**
 * The smaller of two angles to one side. To either side: 0 where one of them lies within the level, else they contradict one another and none is
 * right. NaN then, and where one is no number.
 */
function agreed(a: number, b: number, level: number): number {
  if (a * b < 0) return Math.min(Math.abs(a), Math.abs(b)) <= level ? 0 : Number.NaN;
  return Math.abs(a) < Math.abs(b) ? a : b;
}
