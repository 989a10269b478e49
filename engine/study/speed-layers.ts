import type { Controller } from '../control/controller.ts';
import type { AtSpeed } from '../control/speed-blend.ts';
import type { WalkMap } from '../control/walk-estimate.ts';
import { Fault } from '../quantity/fault.ts';
import type { StudyInput } from './study-input.ts';
import { readSpeed, triedWalk, walkMap } from './walk-map.ts';

/**
 * Readings of speed that are taken up: from half of the slowest task's speed to half as much again as the fastest's. Wider than what the
 * estimate was tried on, since beyond the ends maps are held there; what lies further off is no walking. Our choice.
 */
const PLAUSIBLE = { slower: 0.5, faster: 1.5 };

/**
 * `make` for each task, with the speed, m/s, that the leg itself reads on that stride: so what it reads as it walks leads to the right one,
 * whatever the reading's own error.
 * Faults: fewer than two tasks, one without a speed, two of one speed, or a slower one after a faster one.
 */
export function atSpeeds<T>(
  input: StudyInput,
  tasks: readonly string[],
  period: number,
  path: string,
  make: (task: string) => T,
): readonly AtSpeed<T>[] {
  const fault = (code: string, what: string, mend: string): Fault =>
    new Fault({ code: `control.${code}`, what, mend, place: { path } });
  if (tasks.length < 2)
    throw fault(
      'one-speed',
      '`by: speed` has fewer than two tasks to go between',
      'Name two or more under `tasks:`, or leave `by:` out',
    );
  const layers = tasks.map((task) => ({ task, speed: speedOf(input, task, period) }));
  layers.forEach(({ task, speed }, k) => {
    if (speed === undefined)
      throw fault(
        'task-speed',
        `the speed of \`${task}\` is not known, and its place among the speeds is not`,
        'Name a task of level walking at a known speed',
      );
    const before = layers[k - 1];
    if (before === undefined || speed > before.speed!) return;
    throw speed === before.speed
      ? fault(
          'same-speed',
          `\`${before.task}\` and \`${task}\` go at one speed, ${speed!.toFixed(3)} m/s`,
          'Leave one of them out',
        )
      : fault(
          'speed-order',
          `\`${task}\`, ${speed!.toFixed(3)} m/s, stands after \`${before.task}\`, ${before.speed!.toFixed(3)} m/s`,
          'Write the slowest first',
        );
  });
  return layers.map(({ task, speed }) => ({ speed: speed!, of: make(task) }));
}

function speedOf(input: StudyInput, id: string, period: number): number | undefined {
  const walk = walkOf(input, id);
  if ('openBecause' in walk) return undefined;
  const read = readSpeed(input, walk, period);
  return typeof read === 'number' ? read : undefined;
}

function walkOf(input: StudyInput, id: string): ReturnType<typeof triedWalk> {
  const task = input.tasks.find((each) => each.id === id);
  return task?.kind === 'stride' ? triedWalk(input, task) : { openBecause: 'it has no stride' };
}

/** What the controller's estimate of speed is told on this leg; a Fault where the study's walking does not say it. */
export function estimateMap(input: StudyInput, { phases, schedules }: Controller, period: number): WalkMap {
  const named = [
    ...Object.values(phases).flatMap((phase) => ('tasks' in phase ? phase.tasks : [])),
    ...Object.values(schedules).flatMap((one) =>
      'fit' in one && one.fit.bySpeed ? (one.fit.tasks ?? []) : [],
    ),
  ];
  const speeds = named.map((id) => speedOf(input, id, period) ?? Number.NaN);
  const walk = walkOf(input, named[0] ?? '');
  const map = 'openBecause' in walk ? walk : walkMap(input, walk, period);
  if ('openBecause' in map)
    throw new Fault({
      code: 'control.no-estimate',
      what: `the leg cannot read its own speed: ${map.openBecause}`,
      mend: 'Name tasks of level walking, or leave `speed:` and `by: speed` out',
      place: { path: 'speed' },
    });
  return {
    ...map,
    speeds: { from: PLAUSIBLE.slower * Math.min(...speeds), to: PLAUSIBLE.faster * Math.max(...speeds) },
  };
}
