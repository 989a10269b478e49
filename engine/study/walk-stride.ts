import { speedClasses, strideAtSpeed } from '../gait/at-speed.ts';
import type { Stride, Wearer } from '../gait/stride.ts';
import { Fault } from '../quantity/fault.ts';
import type { StudyInput } from './study-input.ts';

/** Below the slowest published stride by no more than this, its curves are walked at a slower pace. Our own choice. */
const SLOWER = 0.9;

/** The level-walking stride at a speed, m/s, by the overground regression, since that is where these strides were walked; with what a reader must know; or why there is none. */
export function walkStride(
  { strides, wearer }: StudyInput,
  speed: number,
): { readonly stride: Stride; readonly notes: readonly string[] } | { readonly openBecause: string } {
  const classes = speedClasses(strides);
  const slowest = classes[0];
  try {
    const found =
      slowest?.speed !== undefined && speed < slowest.speed && speed >= SLOWER * slowest.speed
        ? {
            stride: slowest,
            notes: [
              `Slower than any published stride: the curves of ${slowest.title}, ${slowest.speed} m/s, at a slower pace.`,
            ],
          }
        : interpolated(classes, speed, wearer);
    const { thigh, groundForce, joints } = found.stride;
    if (thigh === undefined || groundForce === undefined || joints.hip?.moment === undefined)
      return { openBecause: 'its stride has no thigh angle, no ground force or no hip moment' };
    return found;
  } catch (error) {
    if (error instanceof Fault) return { openBecause: error.faults[0].what };
    throw error;
  }
}

/** Between two published speeds; the sentence on the stride time is the walk's own to say. */
function interpolated(classes: readonly Stride[], speed: number, wearer: Wearer) {
  const { stride, notes } = strideAtSpeed(classes, speed, wearer, 'overground');
  return { stride, notes: notes.filter((note) => !note.startsWith('Stride time')) };
}
