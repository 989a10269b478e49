import type { DrivenJoint, LegSegments } from '../gait/stride.ts';
import { legAboutKnee } from './free-swing.ts';

/** What hangs on a joint, kg·m² about its axis, without rotors: shank and foot with the ankle at neutral, or the foot. */
export function linkInertia(joint: DrivenJoint, segments: LegSegments): number {
  if (joint === 'knee') return legAboutKnee(segments).inertia;
  const { inertia, mass, centre } = segments.foot;
  return inertia + mass * (centre.x ** 2 + centre.z ** 2);
}
