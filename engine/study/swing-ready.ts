import { type SwingMap, swingMap } from '../control/swing-map.ts';
import type { ThighOverStride } from '../control/time-warp.ts';
import { curveAt } from '../gait/curve.ts';
import type { StrideCurve } from '../gait/stride.ts';
import type { StrideTask } from '../gait/task.ts';
import { Fault } from '../quantity/fault.ts';
import type { StudyInput } from './study-input.ts';
import { type SwingPlan, swingPlan } from './swing-plan.ts';

type Open = { readonly openBecause: string };

/** What a run needs to know, the same for every figure. */
export interface ReadySwing {
  readonly plan: SwingPlan;
  readonly map: SwingMap;
  readonly thigh: ThighOverStride;
  readonly dt: number;
  /** s: from the thigh to what is read of it, and from reading to the command's effect. */
  readonly before: number;
  readonly after: number;
  readonly task: StrideTask;
}

/** Whether the swing finishes by itself where nothing else is said: not on stairs, where a foot in the air may be over an edge. */
const finishes = (plan: SwingPlan): boolean => !plan.stride.activity.startsWith('stair');

/**
 * A task's plan and map, with the leg's own period and delays. Open where the task has no stride, the stride lacks an angle, the
 * thigh goes too short a way, or the leg file lacks period or delay.
 */
export function readySwing(input: StudyInput, id: string, finish: boolean | undefined): ReadySwing | Open {
  return remembered(input, `ready ${id} ${finish}`, () => madeReady(input, id, finish));
}

function madeReady(input: StudyInput, id: string, finish: boolean | undefined): ReadySwing | Open {
  const task = input.tasks.find((each) => each.id === id);
  if (task?.kind !== 'stride') return { openBecause: 'it has no stride' };
  const { controller, thighSensor } = input.leg;
  if (controller === undefined)
    return {
      openBecause: 'the leg file does not say how often the controller runs: add `controllerHardware`',
    };
  if (thighSensor?.delay === undefined)
    return {
      openBecause: 'the leg file does not say how late the thigh is read: add `delay` under `thighSensor`',
    };
  const plan = swingPlan(input, task);
  if ('openBecause' in plan) return plan;
  const { stance, strideTime } = plan.stride;
  const { thigh, knee, ankle } = plan;
  try {
    const map = swingMap({
      thigh,
      knee,
      ankle,
      stance,
      strideTime,
      finish: finish ?? finishes(plan),
      path: `tasks.${id}`,
    });
    const dt = controller.period;
    return {
      plan,
      map,
      thigh: pathOf(plan.own.thigh),
      dt,
      before: thighSensor.delay,
      after: controller.delayPeriods * dt,
      task,
    };
  } catch (error) {
    if (error instanceof Fault) return { openBecause: error.faults[0].what };
    throw error;
  }
}

/** A thigh curve as a path without end; a place asked for again, as while it is held, is not worked out again. */
function pathOf(curve: StrideCurve): ThighOverStride {
  let [at, point] = [Number.NaN, { value: Number.NaN, slope: Number.NaN }];
  return (x) => {
    if (x !== at) {
      const { value, slope } = curveAt(curve, 100 * (x - Math.floor(x)));
      [at, point] = [x, { value, slope: 100 * slope }];
    }
    return point;
  };
}

/** What has been worked out, by the tasks it was worked out from; the key names all else that can change it. */
const known = new WeakMap<
  StudyInput['tasks'],
  Map<string, { readonly strides: object; readonly made: unknown }>
>();

/** `make` once for each key; every figure here but the sole's depends on strides, wearer, period and delays alone. */
export function remembered<Made>(input: StudyInput, what: string, make: () => Made): Made {
  const { controller, thighSensor } = input.leg;
  const { period, delayPeriods } = controller ?? {};
  const key = [what, period, delayPeriods, thighSensor?.delay, input.wearer.height].join(' ');
  const of = known.get(input.tasks) ?? new Map();
  known.set(input.tasks, of);
  const found = of.get(key);
  if (found !== undefined && found.strides === input.strides) return found.made as Made;
  const made = make();
  of.set(key, { strides: input.strides, made });
  return made;
}
