import { deg, radFromDeg } from '../quantity/angle.ts';
import { Fault } from '../quantity/fault.ts';

/**
 * Least way of the thigh that a phase may be read from, rad. Our choice: over less, one degree of sensor or socket is more than
 * a fifteenth of the swing.
 */
export const LEAST_THIGH_RANGE = radFromDeg(deg(15));

/**
 * Swing phase from the thigh, by play.
 *
 *     r = (θ − θ_on)/(θ_pk − θ_on),   s ← max(r, min(s, r + w)), kept within 0 … 1
 *
 * θ: thigh against the vertical, rad; θ_on: latched when the foot leaves the ground; θ_pk: where the phase is full; w: width of
 * the play as a share of the way; s: the phase before. Forward motion is followed at once; going back by less than w, as the thigh
 * does late in swing and by tremor, is not; going back further is. What it gives depends on where the thigh has been, never on how
 * fast: a static operator with memory, so a leg that stops stops the phase. The play of Krasnosel'skii & Pokrovskii, Systems with
 * Hysteresis (Springer, 1989), FROM MEMORY.
 */
export function playPhase(phase: number, share: number, play: number): number {
  const kept = Math.min(phase, share + play);
  const next = Math.max(share, kept);
  return next < 0 ? 0 : Math.min(next, 1);
}

/** Share r of the thigh's way from `on` to `peak`, rad. */
export const thighShare = (thigh: number, on: number, peak: number): number => (thigh - on) / (peak - on);

/** Fault where the thigh goes too short a way from toe-off to its peak to be read as a phase. */
export function requireThighRange(on: number, peak: number, path: string): void {
  const range = ((peak - on) * 180) / Math.PI;
  if (peak - on >= LEAST_THIGH_RANGE) return;
  throw new Fault({
    code: 'control.thigh-range',
    what: `From toe-off to its peak the thigh moves ${range.toFixed(1)}°, too short a way for a phase, which needs 15°`,
    mend: 'Time this swing by another signal, or take a task in which the thigh swings further',
    place: { path },
  });
}
