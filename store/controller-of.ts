import {
  type Behaviour,
  type Controller,
  type FaultData,
  type JointLimits,
  type Kind,
  nearestName,
  type PhaseChoice,
  parseQuantity,
  type ScheduleChoice,
  type Sensor,
  type Signal,
  type SlopeChoice,
  type SpeedChoice,
  type Transition,
  type Watch,
} from '@striderule/engine';
import type { z } from 'zod';
import type { controllerSchema } from './controller-schema.ts';
import type { YamlFile } from './yaml-file.ts';

type ControllerFile = z.output<typeof controllerSchema>;
type BehaviourFile = ControllerFile['states'][string]['knee'];

/** What each reading and signal is written in; `load` as a share of body weight. */
const KIND: { readonly [name in Sensor | Signal]: Kind } = {
  thigh: 'angle',
  thighRate: 'angular velocity',
  knee: 'angle',
  kneeRate: 'angular velocity',
  ankle: 'angle',
  load: 'pure number',
  kneeWinding: 'temperature',
  ankleWinding: 'temperature',
  bus: 'voltage',
  elapsed: 'time',
  phase: 'pure number',
  release: 'pure number',
  kneeSecond: 'angle',
  ankleSecond: 'angle',
};

/** Fields that go with each thing a joint does: needed, and allowed. */
const FIELDS: {
  readonly [does in BehaviourFile['does']]: {
    readonly needs: readonly (keyof BehaviourFile)[];
    readonly takes?: readonly (keyof BehaviourFile)[];
  };
} = {
  spring: { needs: ['stiffness', 'damping', 'equilibrium'], takes: ['approach'] },
  damp: { needs: ['damping'] },
  free: { needs: [] },
  schedule: { needs: ['schedule'] },
  thigh: { needs: ['stiffness', 'damping'], takes: ['carries'] },
  shorted: { needs: [] },
};

/** Shares of the thigh's way at which a phase may be full. Our own choice. */
const FULL = { from: 0.5, to: 0.95 };

/** The engine's controller of a controller file; names are checked here, what the machine does with them by `controllerFaults`. */
export function controllerOf(
  c: ControllerFile,
  file: YamlFile,
  tasks: readonly string[],
): { controller: Controller | null; faults: FaultData[] } {
  const faults: FaultData[] = [];
  const fault = (code: string, path: PropertyKey[], what: string, mend: string) =>
    faults.push({ code: `store.${code}`, what, mend, place: file.place(path) });
  const known = (name: string, among: readonly string[], what: string, path: PropertyKey[]): void => {
    if (among.includes(name)) return;
    const near = nearestName(name, among);
    fault(
      'unknown-reference',
      path,
      `There is no ${what} \`${name}\``,
      near === undefined ? `Use one of: ${among.join(', ')}` : `Did you mean \`${near}\`?`,
    );
  };
  const states = Object.keys(c.states);
  const number = (text: string | number, kind: Kind, path: PropertyKey[]): number => {
    const parsed = parseQuantity(text, kind);
    if ('si' in parsed) return parsed.si;
    fault('quantity', path, parsed.what, parsed.mend);
    return 0;
  };

  const controller: Controller = {
    name: c.name,
    version: c.version,
    filter: c.speedFilter.si,
    initial: c.initial,
    ...(c.speed && { speed: speedOf(c.speed) }),
    ...(c.slope && { slope: slopeOf(c.slope) }),
    phases: Object.fromEntries(Object.entries(c.phases).map(([name, one]) => [name, phaseOf(one, name)])),
    schedules: Object.fromEntries(
      Object.entries(c.schedules).map(([name, one]) => [name, scheduleOf(one, name)]),
    ),
    states: Object.entries(c.states).map(([name, state]) => ({
      name,
      bears: state.bears,
      ...(state.phase !== undefined && { phase: state.phase }),
      knee: behaviourOf(state.knee, ['states', name, 'knee']),
      ankle: behaviourOf(state.ankle, ['states', name, 'ankle']),
      ...(state.safe !== undefined && { safe: state.safe }),
    })),
    transitions: c.transitions.flatMap(transitionsOf),
    watches: Object.entries(c.faults).map(([name, one]) => watchOf(name, one)),
    limits: { knee: limitsOf(c.limits.knee), ankle: limitsOf(c.limits.ankle) },
    knownLimits: c.knownLimits,
  };
  known(c.initial, states, 'state', ['initial']);
  for (const [name, state] of Object.entries(c.states)) {
    if (state.phase !== undefined)
      known(state.phase, Object.keys(c.phases), 'phase', ['states', name, 'phase']);
    if (state.safe !== undefined) known(state.safe, states, 'state', ['states', name, 'safe']);
  }
  return { controller: faults.length === 0 ? controller : null, faults };

  function scheduleOf(one: ControllerFile['schedules'][string], name: string): ScheduleChoice {
    if (one.fit === undefined)
      return {
        points: one.points!.map((point) => ({
          at: point.at.si,
          stiffness: point.stiffness.si,
          equilibrium: point.equilibrium.si,
          damping: point.damping.si,
        })),
      };
    const { joint, by, stiffness, damping } = one.fit;
    const path = ['schedules', name, 'fit'];
    one.fit.tasks?.forEach((task, k) => {
      known(task, tasks, 'task', [...path, 'tasks', k]);
    });
    if (by !== undefined && one.fit.tasks === undefined)
      fault('missing', path, '`by: speed` names no tasks to go between', 'Add `tasks:`, the slowest first');
    if (stiffness !== undefined && by === undefined && one.fit.tasks?.length !== 1)
      fault(
        'missing',
        [...path, 'stiffness'],
        'with `stiffness` the equilibrium follows one stride, and here is not one task',
        'Name one under `tasks:`, or add `by: speed` for one schedule of each',
      );
    return {
      fit: {
        joint,
        ...(one.fit.tasks && { tasks: one.fit.tasks }),
        ...(by && { bySpeed: true }),
        ...(stiffness && { stiffness: stiffness.si }),
        damping: damping.si,
      },
    };
  }

  function phaseOf(one: ControllerFile['phases'][string], name: string): PhaseChoice {
    const { task, tasks: several, by, part, finish } = one;
    const full = one.full?.si;
    if (full !== undefined && !(full >= FULL.from && full <= FULL.to))
      fault(
        'phase-full',
        ['phases', name, 'full'],
        `a phase that is full at ${(100 * full).toFixed(0)} % of the thigh’s way is ${full < FULL.from ? 'a clock for the rest of it' : 'infinitely steep where the thigh turns'}`,
        `Write ${100 * FULL.from} to ${100 * FULL.to} %`,
      );
    const rest = { part, finish, ...(full !== undefined && { full }) };
    const path = ['phases', name];
    if ((task === undefined) === (several === undefined))
      fault(
        'missing',
        path,
        'a phase is of one task, or of several by speed',
        'Give one of `task:` and `tasks:`',
      );
    if ((several !== undefined) !== (by !== undefined))
      fault('missing', path, '`tasks:` and `by: speed` go together', 'Add the other, or name one `task:`');
    if (task !== undefined) known(task, tasks, 'task', [...path, 'task']);
    several?.forEach((each, k) => {
      known(each, tasks, 'task', [...path, 'tasks', k]);
    });
    return several === undefined ? { task: task ?? '', ...rest } : { tasks: several, ...rest };
  }

  function speedOf(s: NonNullable<ControllerFile['speed']>): SpeedChoice {
    if (s.unloaded.si >= s.loaded.si)
      fault(
        'speed-loads',
        ['speed', 'unloaded'],
        'a stance would end at the load at which it begins, and noise would end it at once',
        'Write a share below `loaded`',
      );
    return { start: s.start.si, change: s.change.si, loaded: s.loaded.si, unloaded: s.unloaded.si };
  }

  function slopeOf({ range, level, share, change, hold }: NonNullable<ControllerFile['slope']>): SlopeChoice {
    const [from, to] = [range.from.si, range.to.si];
    if (!(from <= 0 && to >= 0))
      fault(
        'slope-range',
        ['slope', 'range'],
        'level ground is not in this range, and no reading of it would be taken up',
        'Write a `from:` below 0 and a `to:` above it',
      );
    if (2 * level.si >= Math.max(-from, to))
      fault(
        'slope-level',
        ['slope', 'level'],
        'a slope counts for what it is from twice this angle on, and `range` ends before',
        'Write a smaller angle, or a wider `range`',
      );
    if (share.si === 0)
      fault('slope-share', ['slope', 'share'], 'no reading would ever count', 'Write a share above 0');
    return { from, to, level: level.si, share: share.si, change: change.si, hold };
  }

  function behaviourOf(b: BehaviourFile, path: PropertyKey[]): Behaviour {
    const { needs, takes = [] } = FIELDS[b.does];
    for (const field of needs)
      if (b[field] === undefined)
        fault('missing', path, `\`${b.does}\` says no ${field}`, `Add \`${field}:\``);
    for (const field of Object.keys(b) as (keyof BehaviourFile)[])
      if (field !== 'does' && b[field] !== undefined && ![...needs, ...takes].includes(field))
        fault('unused-field', [...path, field], `\`${b.does}\` has no use for \`${field}\``, 'Delete it');
    const [stiffness, damping] = [b.stiffness?.si ?? 0, b.damping?.si ?? 0];
    if (b.does === 'shorted') return { kind: 'shorted' };
    if (b.does === 'thigh')
      return { kind: 'thigh', stiffness, damping, ...(b.carries && { carries: b.carries.si }) };
    if (b.does === 'schedule') {
      if (b.schedule !== undefined)
        known(b.schedule, Object.keys(c.schedules), 'schedule', [...path, 'schedule']);
      return { kind: 'schedule', schedule: b.schedule ?? '' };
    }
    return {
      kind: 'spring',
      stiffness,
      damping,
      equilibrium: b.equilibrium?.si ?? 0,
      ...(b.approach && { approach: b.approach.si }),
    };
  }

  function transitionsOf(row: ControllerFile['transitions'][number], k: number): Transition[] {
    const from = typeof row.from === 'string' ? [row.from] : row.from;
    for (const name of from) known(name, states, 'state', ['transitions', k, 'from']);
    known(row.to, states, 'state', ['transitions', k, 'to']);
    const when = Object.entries(row.when).map(([name, ends]) => {
      const path = ['transitions', k, 'when', name];
      if (ends!.above === undefined && ends!.below === undefined)
        fault('missing', path, `the condition on ${name} has no end`, 'Add `above:` or `below:`');
      const end = (key: 'above' | 'below') =>
        ends![key] !== undefined && { [key]: number(ends![key], KIND[name as Signal], [...path, key]) };
      return { signal: name as Signal, ...end('above'), ...end('below') };
    });
    if (when.length === 0)
      fault('missing', ['transitions', k, 'when'], 'this transition has no condition', 'Add one');
    return from.map((name) => ({
      from: name,
      to: row.to,
      when,
      hold: row.hold.si,
      after: row.after?.si ?? 0,
      priority: row.priority ?? 0,
    }));
  }

  function watchOf(name: string, w: ControllerFile['faults'][string]): Watch {
    const path: PropertyKey[] = ['faults', name];
    const angles = ['thigh', 'knee', 'ankle'];
    if (w.detect === 'jump' && !angles.includes(w.sensor))
      fault(
        'watch',
        [...path, 'sensor'],
        `\`jump\` is watched of angles: ${angles.join(', ')}`,
        'Use `outside`',
      );
    const pairs = ['thighRate', 'kneeSecond', 'ankleSecond'];
    if (w.detect === 'disagrees' && !pairs.includes(w.sensor))
      fault(
        'watch',
        [...path, 'sensor'],
        '`disagrees` sets the thigh’s rate against its angle, or a joint’s second encoder against its first',
        `Use one of: ${pairs.join(', ')}`,
      );
    if (w.detect === 'wanders' && w.sensor !== 'thigh')
      fault(
        'watch',
        [...path, 'sensor'],
        '`wanders` sets the thigh at contact against its map',
        'Watch it of the sensor `thigh`',
      );
    const needsLimit = w.detect === 'jump' || w.detect === 'disagrees' || w.detect === 'wanders';
    if (needsLimit && w.limit === undefined)
      fault('missing', path, `\`${w.detect}\` has no limit`, 'Add `limit:`');
    if (w.detect === 'outside' && w.low === undefined && w.high === undefined)
      fault('missing', path, '`outside` has no end', 'Add `low:` or `high:`');
    if (w.reaction === 'safe' && w.within === undefined)
      fault('missing', path, 'how soon the leg is safe is not declared', 'Add `within:`');
    if (w.to !== undefined) known(w.to, states, 'state', [...path, 'to']);
    const of = (key: 'limit' | 'low' | 'high') =>
      w[key] !== undefined && { [key]: number(w[key], KIND[w.sensor], [...path, key]) };
    return {
      name,
      sensor: w.sensor,
      detect: w.detect,
      time: w.time?.si ?? 0,
      ...of('limit'),
      ...of('low'),
      ...of('high'),
      reaction: w.reaction,
      ...(w.to !== undefined && { to: w.to }),
      ...(w.within && { within: w.within.si }),
    };
  }
}

const limitsOf = (l: ControllerFile['limits']['knee']): JointLimits => ({
  torque: l.torque.si,
  from: l.range.from.si,
  to: l.range.to.si,
  margin: l.margin.si,
  fadeSpeed: l.fadeSpeed.si,
  speed: l.speed.si,
  warm: l.warm.si,
  hot: l.hot.si,
  ...(l.returned && {
    returned: { power: l.returned.power.si, fadeBus: l.returned.fadeBus.si, bus: l.returned.bus.si },
  }),
  slew: l.slew.si,
});

/** A fault of the machine at its line in the file: `transitions.from > to` is the row that says so. */
export function placedInController(fault: FaultData, file: YamlFile): FaultData {
  const path = fault.place?.path ?? '';
  const row = /^transitions\.(.+) > (.+)$/.exec(path);
  if (row === null) return { ...fault, place: file.place(path.split('.')) };
  const rows = (file.value as { transitions: readonly { from: string | readonly string[]; to: string }[] })
    .transitions;
  const k = rows.findIndex(({ from, to }) => to === row[2] && [from].flat().includes(row[1]!));
  return { ...fault, place: file.place(['transitions', k]) };
}
