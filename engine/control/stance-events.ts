import type { DrivenJoint } from '../gait/stride.ts';

/** Sub-phases of stance by joint, in order. */
export const SUBPHASES: { readonly [joint in DrivenJoint]: readonly string[] } = {
  ankle: ['loading', 'early dorsiflexion', 'late dorsiflexion', 'push-off'],
  knee: ['stance flexion', 'stance extension', 'pre-swing'],
};

/**
 * Samples at which the sub-phases of stance begin, and the last sample of stance: one more than sub-phases. `angle` rad over stance, from
 * initial contact to toe-off. What decides is the joint's own angle, since a controller sees it:
 *
 *     ankle   least angle of the first quarter (foot flat) | half way in time | greatest angle after it | toe-off
 *     knee    greatest angle of the first half | least angle after it | toe-off
 *
 * In words, why there are none: an extremum that lies at the end of where it is looked for is no turn of the joint. Half way in time is our
 * choice: published slopes of ankle torque over angle are split there.
 */
export function stanceEvents(
  joint: DrivenJoint,
  angle: Float64Array,
): readonly number[] | { readonly openBecause: string } {
  const last = angle.length - 1;
  if (joint === 'ankle') {
    const [flat, end] = [turn(angle, 0, Math.floor(last / 4), -1), last];
    const peak = flat === undefined ? undefined : turn(angle, flat, end, 1);
    if (flat === undefined || peak === undefined || peak - flat < 2)
      return { openBecause: 'the ankle does not go down to foot flat and up again in stance' };
    return [0, flat, Math.round((flat + peak) / 2), peak, last];
  }
  const bent = turn(angle, 0, Math.floor(last / 2), 1);
  const straight = bent === undefined ? undefined : turn(angle, bent, last, -1);
  if (bent === undefined || straight === undefined)
    return { openBecause: 'the knee does not bend and stretch again in stance' };
  return [0, bent, straight, last];
}

/** Place of the greatest (sign 1) or least (−1) angle between `from` and `to`; undefined at either end. */
function turn(angle: Float64Array, from: number, to: number, sign: 1 | -1): number | undefined {
  let best = from;
  for (let i = from; i <= to; i++) if (sign * angle[i] > sign * angle[best]) best = i;
  return best === from || best === to ? undefined : best;
}
