import { checkController, type ReactionTiming, timeToSafe } from '../control/check-controller.ts';
import type { Controller } from '../control/controller.ts';
import type { FaultData } from '../quantity/fault.ts';
import type { Metric } from './metric.ts';
import type { StudyInput } from './study-input.ts';

type Open = { readonly openBecause: string };

const LOOP = ['leg.controller.period', 'leg.controller.delayPeriods'];
const ON_PAPER =
  'Of the controller as written, not of a leg: each fault is provoked on a tethered bench, in every part of the stride, before anybody stands on it.';

/** The study's controller and the timing of the leg that carries it; or what is not known. */
function controllerAndTiming(
  input: StudyInput,
): { readonly controller: Controller; readonly timing: ReactionTiming } | Open {
  if (input.controller === undefined)
    return { openBecause: 'the study names no controller: add `controller:` to study.yaml' };
  const { controller: hardware } = input.leg;
  if (hardware === undefined)
    return {
      openBecause: 'the leg file does not say how often the controller runs: add `controllerHardware`',
    };
  const { period, delayPeriods } = hardware;
  return { controller: input.controller.controller, timing: { period, delay: delayPeriods * period } };
}

/** What was found wrong with a controller at a timing; the walk over its postures is done once. */
const known = new WeakMap<Controller, Map<string, readonly FaultData[]>>();
function foundIn(controller: Controller, timing: ReactionTiming): readonly FaultData[] {
  const key = `${timing.period} ${timing.delay}`;
  const of = known.get(controller) ?? new Map<string, readonly FaultData[]>();
  known.set(controller, of);
  const found = of.get(key) ?? checkController(controller, timing, writtenSchedules(controller));
  of.set(key, found);
  return found;
}

const writtenSchedules = ({ schedules }: Controller) =>
  Object.fromEntries(
    Object.entries(schedules).flatMap(([name, choice]) =>
      'points' in choice ? [[name, [choice.points]]] : [],
    ),
  );

/** The controller as a machine. */
export const controllerMetrics: Readonly<Record<string, Metric>> = {
  safeStateTime: {
    title: 'Longest time from a fault to the safe state',
    kind: 'time',
    unit: 's',
    formula: 'max over faults: n·T + t_d + 2·τ_max/slew',
    chapter: 'control.md#faults',
    reads: LOOP,
    only: 'leg',
    cautions: [
      ON_PAPER,
      'Safe is a choice for the part of the stride: whether it is soon enough, and safe enough, is for the risk analysis.',
    ],
    value: (input) => {
      const of = controllerAndTiming(input);
      if ('openBecause' in of) return of;
      const times = of.controller.watches
        .filter(({ reaction }) => reaction === 'safe')
        .map((watch) => ({ value: timeToSafe(of.controller, watch, of.timing), at: watch.name }));
      if (times.length === 0) return { openBecause: 'no fault of the controller leads to a safe state' };
      return times.reduce((a, b) => (b.value > a.value ? b : a));
    },
  },
  controllerFlaws: {
    title: 'Traps, conflicts and gaps of the state machine',
    kind: 'pure number',
    unit: '1',
    formula:
      'faults found: traps, ways open at once, chatter, unreachable states, unwatched sensors, late reactions',
    chapter: 'control.md#what-the-checker-finds',
    reads: LOOP,
    only: 'leg',
    cautions: [
      ON_PAPER,
      'The checker looks at postures on a grid and at nothing that moves: none found is no proof.',
    ],
    value: (input) => {
      const of = controllerAndTiming(input);
      if ('openBecause' in of) return of;
      const found = foundIn(of.controller, of.timing);
      const first = found[0];
      return {
        value: found.length,
        at:
          first === undefined
            ? `${of.controller.states.length} states, ${of.controller.transitions.length} transitions, ${of.controller.watches.length} faults looked at`
            : first.what,
      };
    },
  },
};
