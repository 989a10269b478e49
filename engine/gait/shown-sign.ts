import type { JointName } from './stride.ts';

/**
 * A moment as people read it: hip and knee extensor positive, ankle plantarflexor positive, N·m or N·m/kg.
 *
 *     shown = −τ
 *
 * The engine's τ is positive along the angle it increases (hip and knee flexion, ankle dorsiflexion), and the
 * literature prints all three joints the other way (see docs/notation.md). This is the only flip on the way out.
 * Holds for anything that carries the moment's sign: motor torque and current that serve it. Zero stays +0,
 * NaN stays NaN.
 */
export function shownMoment(moment: number): number {
  return 0 - moment;
}

/** What a positive shown moment does, for the axis and the column head. */
export const SHOWN_MOMENT_SIGN: { readonly [joint in JointName]: string } = {
  hip: 'extensor positive',
  knee: 'extensor positive',
  ankle: 'plantarflexor positive',
};
