import type { FaultData } from '../quantity/fault.ts';
import { JOINTS, leaving } from './compile-controller.ts';
import {
  type Behaviour,
  type Condition,
  type Controller,
  type ControlState,
  type SchedulePoint,
  SENSORS,
  type Sensor,
  SIGNALS,
  type Signal,
  type Transition,
  type Watch,
} from './controller.ts';

/** Timing that a fault's reaction waits for. */
export interface ReactionTiming {
  /** s. */
  readonly period: number;
  /** From a sample to its torque, s. */
  readonly delay: number;
}

/** Sensors without which no state but one that reads nothing is safe. */
const MUST_LEAD_TO_SAFE: readonly string[] = ['thigh', 'thighRate', 'knee', 'ankle', 'load'];

/** Angles that are read to be compared. */
const SECOND: readonly Sensor[] = ['kneeSecond', 'ankleSecond'];

const DEG = Math.PI / 180;
/** Load, share of body weight; angles rad; phase: postures in which nothing moves. Our choice of grid. */
const LOADS = [0, 0.5, 1];
const THIGHS = Array.from({ length: 25 }, (_, k) => (-30 + 5 * k) * DEG);
const KNEES = Array.from({ length: 13 }, (_, k) => 10 * k * DEG);
const PHASES = [0, 0.65, 1];

type Posture = { readonly [signal in Signal]: number };

/**
 * What is wrong with a controller as a machine, each with where and how to mend it; empty where nothing was found.
 *
 * - states that nothing leads to
 * - two transitions of one state and one priority whose conditions can hold together, and lead to different states
 * - two states that can change places in one and the same posture: they would chatter
 * - traps: with nothing moving, in any posture of a grid over load, thigh, knee and phase, the machine must come to rest, from every
 *   state, in a state that is meant for the load; and quiet standing must lead to the initial state
 * - safe states that need the thigh, that nobody can leave, or that are left without the wearer's asking
 * - sensors whose loss nothing watches, a second encoder only where it is compared; faults that need longer than they declare
 * - a bus too high whose state still brakes by software, which returns power; a limit on that power that comes too late or ends too soon
 * - a thigh watched for wandering with a limit that is none, or without a swing that ends in a paced stance
 * - behaviours without the phase they need; schedules that jump or leave part of stance out
 *
 * No proof: between the postures of the grid it sees nothing, and what motion does is for simulation and bench.
 */
export function checkController(
  of: Controller,
  timing: ReactionTiming,
  schedules: { readonly [name: string]: readonly (readonly SchedulePoint[])[] } = {},
): FaultData[] {
  return [
    ...unreachable(of),
    ...conflicts(of),
    ...chatter(of),
    ...rests(of),
    ...safeStates(of),
    ...behaviours(of),
    ...unwatched(of),
    ...tooSlow(of, timing),
    ...tooHighBus(of),
    ...wanders(of),
    ...Object.entries(schedules).flatMap(([name, [points]]) => jumps(name, points)),
  ];
}

const found = (code: string, path: string, what: string, mend: string): FaultData => ({
  code: `control.${code}`,
  what,
  mend,
  place: { path },
});

function unreachable(of: Controller): FaultData[] {
  const next = (name: string): string[] => {
    const state = of.states.find((each) => each.name === name);
    return [...leaving(of, name).map(({ to }) => to), ...(state?.safe === undefined ? [] : [state.safe])];
  };
  const seen = new Set([of.initial, ...of.watches.flatMap(({ to }) => (to === undefined ? [] : [to]))]);
  for (const name of seen) for (const to of next(name)) seen.add(to);
  return of.states
    .filter(({ name }) => !seen.has(name))
    .map(({ name }) =>
      found(
        'unreachable',
        `states.${name}`,
        `nothing leads to \`${name}\``,
        'Add a transition to it, or delete it',
      ),
    );
}

/** Whether one posture can satisfy all of these. */
function together(conditions: readonly Condition[]): boolean {
  return SIGNALS.every((signal) => {
    const own = conditions.filter((condition) => condition.signal === signal);
    const low = Math.max(...own.map(({ above }) => above ?? Number.NEGATIVE_INFINITY));
    const high = Math.min(...own.map(({ below }) => below ?? Number.POSITIVE_INFINITY));
    return own.length === 0 || low < high;
  });
}

function conflicts(of: Controller): FaultData[] {
  return of.transitions.flatMap((a, i) =>
    of.transitions
      .slice(i + 1)
      .flatMap((b) =>
        a.from === b.from && a.to !== b.to && a.priority === b.priority && together([...a.when, ...b.when])
          ? [
              found(
                'conflict',
                `transitions.${a.from} > ${a.to}`,
                `from \`${a.from}\` the ways to \`${a.to}\` and to \`${b.to}\` can be open at once, and neither goes first`,
                'Give one of them a smaller `priority`, or a condition that tells them apart',
              ),
            ]
          : [],
      ),
  );
}

function chatter(of: Controller): FaultData[] {
  return of.transitions.flatMap((a, i) =>
    of.transitions
      .slice(i + 1)
      .flatMap((b) =>
        a.from === b.to && a.to === b.from && together([...a.when, ...b.when])
          ? [
              found(
                'chatter',
                `transitions.${a.from} > ${a.to}`,
                `\`${a.from}\` and \`${a.to}\` can change places to and fro while nothing moves`,
                'Leave a gap between the two thresholds',
              ),
            ]
          : [],
      ),
  );
}

const holds = ({ when }: Transition, posture: Posture): boolean =>
  when.every(({ signal, above = Number.NEGATIVE_INFINITY, below = Number.POSITIVE_INFINITY }) => {
    const value = posture[signal];
    return value > above && value < below;
  });

/** Transitions by the state they leave, the most urgent first. */
type Ways = ReadonlyMap<string, readonly Transition[]>;

/** Where the machine comes to rest from a state while nothing moves; undefined where it goes round for ever. */
function restOf(ways: Ways, from: string, posture: Posture): string | undefined {
  const seen = new Set<string>();
  let at = from;
  while (!seen.has(at)) {
    seen.add(at);
    const out = ways.get(at)!.find((row) => holds(row, posture));
    if (out === undefined) return at;
    at = out.to;
  }
  return undefined;
}

const degrees = (x: number): string => `${(x / DEG).toFixed(0)}°`;
const told = ({ load, thigh, knee }: Posture): string =>
  `${load === 0 ? 'unloaded' : `loaded by ${load} of body weight`}, thigh at ${degrees(thigh)}, knee at ${degrees(knee)}`;

function rests(of: Controller): FaultData[] {
  const faults = new Map<string, FaultData>();
  const once = (key: string, fault: FaultData): void => {
    if (!faults.has(key)) faults.set(key, fault);
  };
  const byName = new Map(of.states.map((state) => [state.name, state]));
  const ways: Ways = new Map(of.states.map(({ name }) => [name, leaving(of, name)]));
  for (const { name, safe } of of.states) {
    for (const load of LOADS)
      for (const thigh of THIGHS)
        for (const knee of KNEES)
          for (const phase of PHASES) {
            const posture = { load, thigh, thighRate: 0, knee, kneeRate: 0, ankle: 0, phase, release: 0 };
            const rest = restOf(ways, name, posture);
            if (rest === undefined) {
              once(
                `round ${name}`,
                found(
                  'goes-round',
                  `states.${name}`,
                  `from \`${name}\` the machine goes round for ever while nothing moves: ${told(posture)}`,
                  'Leave a gap between the thresholds of these states',
                ),
              );
              continue;
            }
            const meant = byName.get(rest)!.bears;
            if (meant === 'either' || (meant === 'load') === load > 0) continue;
            once(
              `trap ${rest}`,
              found(
                'trap',
                `states.${rest}`,
                `\`${rest}\` is meant for ${meant} and cannot be left ${told(posture)}`,
                'Add a transition with a condition that holds there, such as no load for 0.3 s',
              ),
            );
          }
    const standing = {
      load: 0.5,
      thigh: 0,
      thighRate: 0,
      knee: 0,
      kneeRate: 0,
      ankle: 0,
      phase: 1,
      release: safe === undefined ? 1 : 0,
    };
    const rest = restOf(ways, name, standing);
    if (rest !== of.initial)
      once(
        `standing ${name}`,
        found(
          'no-standing',
          `states.${name}`,
          `quiet standing${safe === undefined ? ' and the wearer’s release lead' : ' leads'} from \`${name}\` to ${rest === undefined ? 'no rest' : `\`${rest}\``}, not to \`${of.initial}\``,
          'Add the transitions that lead there',
        ),
      );
  }
  return [...faults.values()];
}

function safeStates(of: Controller): FaultData[] {
  const isSafe = (name: string): boolean =>
    of.states.some((state) => state.name === name && state.safe === undefined);
  return of.states.flatMap((state): FaultData[] => {
    const path = `states.${state.name}`;
    if (state.safe !== undefined) {
      if (isSafe(state.safe)) return [];
      return [
        found(
          'safe-not-safe',
          `${path}.safe`,
          `a fault leads from \`${state.name}\` to \`${state.safe}\`, which is no safe state`,
          'Name a state that has no `safe:` of its own',
        ),
      ];
    }
    const needsThigh =
      state.phase !== undefined
        ? [
            found(
              'safe-needs-thigh',
              `${path}.phase`,
              `the safe state \`${state.name}\` follows the thigh, whose sensor may be what failed`,
              'Give it springs and dampers alone',
            ),
          ]
        : [];
    const out = leaving(of, state.name).filter(({ to }) => !isSafe(to));
    const byItself = out
      .filter(({ when }) => !when.some(({ signal, above = 0 }) => signal === 'release' && above > 0))
      .map(({ to }) =>
        found(
          'safe-leaves-itself',
          path,
          `\`${state.name}\` is left for \`${to}\` without the wearer’s asking`,
          'Add `release: { above: 0.5 }` to the conditions',
        ),
      );
    return [...needsThigh, ...byItself];
  });
}

function behaviours(of: Controller): FaultData[] {
  const needed = (state: ControlState, behaviour: Behaviour, path: string): FaultData[] => {
    const part = behaviour.kind === 'thigh' ? 'swing' : behaviour.kind === 'schedule' ? 'stance' : undefined;
    const phase = state.phase === undefined ? undefined : of.phases[state.phase];
    if (part === undefined || phase?.part === part) return [];
    return [
      found(
        'no-phase',
        path,
        `\`${state.name}\` has no ${part} phase for what this joint does`,
        `Give the state \`phase:\` with a map of ${part}`,
      ),
    ];
  };
  const begins = of.states.find(({ name }) => name === of.initial);
  return [
    ...of.states.flatMap((state) =>
      JOINTS.flatMap((joint) => needed(state, state[joint], `states.${state.name}.${joint}`)),
    ),
    ...(begins?.phase === undefined
      ? []
      : [
          found(
            'initial-phase',
            'initial',
            `the controller begins in \`${of.initial}\`, whose phase needs a toe-off or a contact before it`,
            'Begin in a state without a phase, such as standing',
          ),
        ]),
  ];
}

function unwatched(of: Controller): FaultData[] {
  const compared = (sensor: Sensor): boolean =>
    of.watches.some((watch) => watch.sensor === sensor && watch.detect === 'disagrees');
  return SENSORS.flatMap((sensor) => {
    if (SECOND.includes(sensor) && !compared(sensor)) return [];
    const watched = of.watches.filter((watch) => watch.sensor === sensor && watch.detect === 'missing');
    const safe = watched.some(({ reaction }) => reaction === 'safe');
    if (MUST_LEAD_TO_SAFE.includes(sensor) ? safe : watched.length > 0) return [];
    return [
      found(
        'unwatched',
        'faults',
        `nothing reacts when \`${sensor}\` gives no number`,
        MUST_LEAD_TO_SAFE.includes(sensor)
          ? 'Add a fault with `detect: missing` and `reaction: safe`'
          : 'Add a fault with `detect: missing`, at least to warn',
      ),
    ];
  });
}

/**
 * Longest time from the first bad sample to the safe state's torque, s:
 *
 *     n·T + t_d + 2·τ_max/slew     n: ticks until the watch acts; t_d: from sample to torque; torque from one limit to the other
 */
export function timeToSafe(of: Controller, watch: Watch, { period, delay }: ReactionTiming): number {
  const ticks = watch.detect === 'jump' ? 1 : Math.floor(watch.time / period + 1e-6) + 1;
  const slew = Math.max(...JOINTS.map((joint) => (2 * of.limits[joint].torque) / of.limits[joint].slew));
  return ticks * period + delay + slew;
}

function tooSlow(of: Controller, timing: ReactionTiming): FaultData[] {
  return of.watches.flatMap((watch) => {
    if (watch.reaction === 'warn' || watch.within === undefined) return [];
    const needs = timeToSafe(of, watch, timing);
    if (needs <= watch.within + 1e-9) return [];
    return [
      found(
        'too-slow',
        `faults.${watch.name}.within`,
        `\`${watch.name}\` declares ${(1e3 * watch.within).toFixed(0)} ms to the safe state and needs ${(1e3 * needs).toFixed(1)} ms`,
        'Detect it sooner, let torque change faster, or declare the longer time and show that it is soon enough',
      ),
    ];
  });
}

function tooHighBus(of: Controller): FaultData[] {
  const high = of.watches.filter(
    ({ sensor, detect, high, reaction }) =>
      sensor === 'bus' && detect === 'outside' && high !== undefined && reaction === 'safe',
  );
  const returning = high.flatMap((watch) => {
    const leads = of.states.filter(({ name }) =>
      watch.to === undefined ? of.states.some(({ safe }) => safe === name) : name === watch.to,
    );
    const state = leads.find((each) => JOINTS.some((joint) => each[joint].kind !== 'shorted'));
    if (state === undefined) return [];
    return [
      found(
        'bus-still-fed',
        `faults.${watch.name}`,
        `\`${watch.name}\` leads to \`${state.name}\`, which brakes by software and so returns still more to a bus that is too high`,
        'Name under `to:` a state in which both joints are shorted',
      ),
    ];
  });
  const limits = JOINTS.flatMap((joint) => {
    const { returned } = of.limits[joint];
    if (returned === undefined) return [];
    return high.flatMap((watch) => {
      const volts = `${watch.high!.toFixed(1)} V`;
      const path = `limits.${joint}.returned`;
      if (returned.fadeBus >= watch.high!)
        return [
          found(
            'bus-limit-late',
            path,
            `what the ${joint} returns is limited from ${returned.fadeBus.toFixed(1)} V on, and \`${watch.name}\` has acted at ${volts}`,
            'Begin the limit below the fault',
          ),
        ];
      if (returned.bus >= watch.high!) return [];
      return [
        found(
          'bus-limit-lets-go',
          path,
          `at ${returned.bus.toFixed(1)} V the ${joint} may not brake any more, and \`${watch.name}\` makes it safe only above ${volts}`,
          'End the limit at the fault or above it',
        ),
      ];
    });
  });
  return [...returning, ...limits];
}

/** Beyond this a limit of wandering lets every step through: more than the thigh goes in half a stride. Our choice. */
const MOST_WANDERING = 30 * DEG;

function wanders(of: Controller): FaultData[] {
  const part = (name: string): string | undefined => {
    const phase = of.states.find((state) => state.name === name)?.phase;
    return phase === undefined ? undefined : of.phases[phase]?.part;
  };
  const contact = of.transitions.some(({ from, to }) => part(from) === 'swing' && part(to) === 'stance');
  return of.watches
    .filter(({ detect }) => detect === 'wanders')
    .flatMap(({ name, limit = 0 }): FaultData[] => [
      ...(limit > 0 && limit <= MOST_WANDERING + 1e-9
        ? []
        : [
            found(
              'wanders-limit',
              `faults.${name}.limit`,
              `\`${name}\` would act beyond ${degrees(limit)}: at every step, or never`,
              'Take a limit above 0° and no more than 30°',
            ),
          ]),
      ...(contact
        ? []
        : [
            found(
              'wanders-no-contact',
              `faults.${name}`,
              `\`${name}\` looks at the thigh at contact, and no swing paced by the thigh ends in a stance paced by it`,
              'Give swing and stance a `phase:` each and lead from the one to the other, or delete the fault',
            ),
          ]),
    ]);
}

function jumps(name: string, points: readonly SchedulePoint[]): FaultData[] {
  const path = `schedules.${name}`;
  if (points.length < 2 || points[0].at !== 0 || points.at(-1)!.at !== 1)
    return [
      found(
        'schedule-ends',
        path,
        `\`${name}\` does not reach from 0 to 1 of stance`,
        'Give a point at 0 and one at 1',
      ),
    ];
  return points.slice(1).flatMap((point, i) => {
    const before = points[i];
    if (point.at > before.at) return [];
    return [
      found(
        'schedule-jumps',
        `${path}.points.${i + 1}`,
        `\`${name}\` jumps at ${before.at}: two points stand at one place, or run backwards`,
        'Move them apart: stiffness that changes at once is a blow to the leg',
      ),
    ];
  });
}
