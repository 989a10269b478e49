import type { PeaksDemand } from './demand-result.ts';
import type { Wearer } from './stride.ts';
import type { PeaksTask } from './task.ts';

/**
 * A task of which only peaks are published: N·m/kg times body mass, rad/s as they are. A place on the torque–speed plane and
 * no more: without a curve there is no heat, no energy and no RMS, and the notes say so before they name the sources.
 * What was not published is left out.
 */
export function peaksDemand(task: PeaksTask, wearer: Wearer): PeaksDemand {
  const joints = Object.fromEntries(
    Object.entries(task.joints).map(([joint, { moment, speed }]) => [
      joint,
      {
        ...(moment && { moment: { low: moment.low * wearer.mass, high: moment.high * wearer.mass } }),
        ...(speed && { speed: { low: speed.low, high: speed.high } }),
      },
    ]),
  );
  return {
    kind: 'peaks',
    task,
    joints,
    notes: [
      'Peaks only, no curve: no heat, no energy.',
      ...new Set(
        Object.values(task.joints).flatMap(({ moment, speed }) =>
          [moment?.source, speed?.source].flatMap((source) => (source === undefined ? [] : [`${source}.`])),
        ),
      ),
      ...task.caveats,
    ],
  };
}
