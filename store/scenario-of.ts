import {
  type FaultData,
  mappedFaults,
  nearestName,
  type Scenario,
  type StudyInput,
} from '@striderule/engine';
import type { z } from 'zod';
import type { scenarioSchema } from './scenario-schema.ts';
import type { YamlFile } from './yaml-file.ts';

/** The engine's scenario of a file; a fault that it names must be one of the fault map's. */
export function scenarioOf(
  id: string,
  of: z.output<typeof scenarioSchema>,
  file: YamlFile,
  { leg, tasks, strides }: Pick<StudyInput, 'leg' | 'tasks' | 'strides'>,
  faults: FaultData[],
): Scenario {
  const { fault, stop, cadence, terrain } = of;
  if (fault !== undefined) {
    const names = mappedFaults(leg).map((one) => one.id);
    const near = nearestName(fault.name, names);
    if (!names.includes(fault.name))
      faults.push({
        code: 'store.unknown-fault',
        what: `There is no fault \`${fault.name}\``,
        mend: near ? `Did you mean \`${near}\`?` : `Use one of: ${names.join(', ')}`,
        place: file.place(['fault', 'name']),
      });
  }
  return {
    id,
    title: of.title,
    speed: of.speed?.si ?? ownSpeed(),
    strides: of.strides ?? 1,
    control: of.control ?? 'study',
    thigh: of.thigh ?? 'led',
    ground: of.ground ?? 'overground',
    ...(of.hangs !== undefined && { hangs: of.hangs }),
    ...(of.stairs && {
      stairs: {
        task: of.stairs.task,
        riser: of.stairs.riser.si,
        tread: of.stairs.tread.si,
        over: of.stairs.over.si,
      },
    }),
    ...(of.chair && {
      chair: {
        hip: of.chair.hip.si,
        thigh: of.chair.thigh.si,
        over: of.chair.over.si,
        sits: of.chair.sits.si,
        share: of.chair.share.si,
      },
    }),
    ...(of.begins !== undefined && { begins: of.begins }),
    ...(of.seed !== undefined && { seed: of.seed }),
    ...(terrain && {
      terrain:
        'slope' in terrain
          ? {
              kind: 'slope',
              angle: terrain.slope.si,
              ...(terrain.told !== undefined && { told: terrain.told }),
              ...(terrain.begins && { onset: { from: terrain.begins.at.si, over: terrain.begins.over.si } }),
            }
          : 'step' in terrain
            ? { kind: 'step', height: terrain.step.si, at: terrain.at.si, over: terrain.over.si }
            : { kind: 'uneven', height: terrain.uneven.si, seed: terrain.seed },
    }),
    ...(stop && {
      stop: {
        stride: stop.stride,
        place: stop.place.si,
        over: stop.over.si,
        stands: stop.for.si,
        ...(stop.back && {
          back: { by: stop.back.by.si, over: stop.back.over.si, times: stop.back.times },
        }),
      },
    }),
    ...(of.leaves && { leaves: of.leaves.below.si }),
    ...(cadence && { cadence: cadence.map(({ at, share }) => ({ at: at.si, share: share.si })) }),
    ...(fault && { fault: { name: fault.name, stride: fault.stride, place: fault.place.si } }),
  };

  function ownSpeed(): number {
    if (of.hangs !== undefined) return speedOf(['hangs'], of.hangs);
    return of.stairs === undefined ? Number.NaN : speedOf(['stairs', 'task'], of.stairs.task);
  }

  /** Of the stride of a task; what is wrong with it is a fault. */
  function speedOf(field: string[], name: string): number {
    const task = tasks.find((one) => one.id === name);
    const near = nearestName(
      name,
      tasks.map((one) => one.id),
    );
    const found = (what: string, mend: string): number => {
      faults.push({ code: 'store.unknown-reference', what, mend, place: file.place(field) });
      return Number.NaN;
    };
    if (task === undefined)
      return found(
        `There is no task \`${name}\``,
        near ? `Did you mean \`${near}\`?` : 'Write one under `tasks`',
      );
    if (task.kind !== 'stride')
      return found(
        `The task \`${name}\` has no stride, only ${task.kind === 'peaks' ? 'peaks' : 'a posture'}`,
        'Name a task of a stride',
      );
    return (
      task.speed ??
      strides[task.stride]?.speed ??
      found(`The stride of the task \`${name}\` has no speed`, 'Add it to its recipe')
    );
  }
}
