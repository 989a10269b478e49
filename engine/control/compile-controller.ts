import type { DrivenJoint } from '../gait/stride.ts';
import { Fault } from '../quantity/fault.ts';
import type { CarriedMap } from './carried-map.ts';
import {
  type Behaviour,
  type Controller,
  type SchedulePoint,
  SENSORS,
  SIGNALS,
  type SlopeChoice,
  type Transition,
  type Watch,
} from './controller.ts';
import type { Gains } from './sampled-joint.ts';
import {
  type AtSpeed,
  blendMap,
  blendSchedule,
  liveMap,
  type ScheduleLayer,
  type SpeedTables,
} from './speed-blend.ts';
import type { WalkMap } from './walk-estimate.ts';

/** One for each speed, the slowest first. */
export interface BySpeed<T> {
  readonly bySpeed: readonly AtSpeed<T>[];
}

/** What a controller needs of wearer, leg and strides to run. */
export interface ControllerParts {
  /** s. */
  readonly period: number;
  /** N. */
  readonly bodyWeight: number;
  readonly maps: { readonly [name: string]: CarriedMap | BySpeed<CarriedMap> };
  readonly schedules: {
    readonly [name: string]: readonly SchedulePoint[] | BySpeed<readonly SchedulePoint[]>;
  };
  /** What the estimate of speed is told; needed where anything goes by speed. */
  readonly walk?: WalkMap;
  /**
   * By joint: rad that its gears wind up under 1 N·m and s in which they unwind; rad under 1 N·m by which the angle that closes the loop is
   * ahead of the joint's own, 0 where it is that; and W that its cold windings burn under 1 N·m squared, 1/(N·K_m)². Left out: rigid gears, and
   * all that braking takes from the joint is returned to the bus.
   */
  readonly drives?: {
    readonly [joint in DrivenJoint]: {
      readonly windUp: number;
      readonly unwinds: number;
      readonly ahead: number;
      readonly copper: number;
    };
  };
  /** Gains of the software that make the joint what is asked; left out: as asked. Undefined where the gears yield more. */
  readonly software?: (joint: DrivenJoint, asked: Gains) => Gains | undefined;
}

/** Kinds of behaviour, watch and reaction by number. */
export const BEHAVIOUR = { spring: 0, schedule: 1, thigh: 2, shorted: 3 } as const;
export const DETECT = { missing: 0, stuck: 1, jump: 2, outside: 3, disagrees: 4, wanders: 5 } as const;
export const OWN_SAFE = -1;
export const WARN = -2;
/** Places of one joint's limits, in the order in which they are applied. */
export const LIMIT = {
  torque: 0,
  from: 1,
  to: 2,
  margin: 3,
  fadeSpeed: 4,
  speed: 5,
  warm: 6,
  hot: 7,
  returned: 8,
  fadeBus: 9,
  bus: 10,
  slewStep: 11,
} as const;
export const LIMITS = 12;
/** V between which nothing is limited: no bus of a leg comes near. */
const NO_BUS = { fadeBus: 1e6, bus: 2e6 };
export const JOINTS = ['knee', 'ankle'] as const satisfies readonly DrivenJoint[];

/**
 * A controller as flat arrays: the tick reads nothing else, and firmware carries the same numbers. Every number has been rounded to
 * float32, so that both decide alike. Two places a state, knee and ankle, where an array is of behaviours or limits.
 */
export interface CompiledController {
  readonly name: string;
  readonly version: string;
  readonly states: readonly string[];
  readonly watches: readonly string[];
  readonly period: number;
  readonly filterPole: number;
  /** N; for reports, the tick's thresholds are in N already. */
  readonly bodyWeight: number;
  readonly initial: number;
  /** By state: map, or −1; state that a fault leads to, or −1 where this one is safe. */
  readonly mapOf: Int32Array;
  readonly safeOf: Int32Array;
  /** By state and joint. `offset`: K·θ_eq. `approach` rad a tick, 0: at once. */
  readonly kind: Int32Array;
  readonly scheduleOf: Int32Array;
  readonly stiffness: Float64Array;
  readonly damping: Float64Array;
  readonly equilibrium: Float64Array;
  readonly approach: Float64Array;
  /** Share of the leg's own weight and inertia that is asked for ahead. */
  readonly carries: Float64Array;
  /** Transitions by the state they leave, the most urgent first: those of state i from first[i] to first[i + 1]. */
  readonly first: Int32Array;
  readonly target: Int32Array;
  readonly hold: Int32Array;
  readonly after: Int32Array;
  /** Conditions of transition j from conditionFirst[j] on: low < signal < high. */
  readonly conditionFirst: Int32Array;
  readonly signal: Int32Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly watchSensor: Int32Array;
  readonly watchKind: Int32Array;
  readonly watchTicks: Int32Array;
  /** State, or OWN_SAFE, or WARN. */
  readonly watchTo: Int32Array;
  readonly watchLimit: Float64Array;
  readonly watchLow: Float64Array;
  readonly watchHigh: Float64Array;
  /** Which watches look for jumps, and which only warn, so that a tick need not look through all for these. */
  readonly jumps: Int32Array;
  readonly warns: Int32Array;
  readonly limits: Float64Array;
  /** By joint, as in ControllerParts. */
  readonly windUp: Float64Array;
  /** What a period leaves of it. */
  readonly unwinds: Float64Array;
  readonly ahead: Float64Array;
  /** By joint: rad beyond its gears' wind-up that its watches let two encoders differ, the widest of them. */
  readonly apart: Float64Array;
  readonly copper: Float64Array;
  readonly scheduleFirst: Int32Array;
  readonly at: Float64Array;
  readonly scheduleStiffness: Float64Array;
  readonly scheduleOffset: Float64Array;
  readonly scheduleDamping: Float64Array;
  readonly maps: readonly CarriedMap[];
  /** Where maps or schedules go by speed; those above are then the ones of the first speed. Left out: nothing does. */
  readonly bySpeed?: SpeedTables;
}

/** Largest float32. */
const FLOAT32 = 3.4028234663852886e38;

const degrees = (x: number): string => `${((180 / Math.PI) * x).toFixed(1)}°`;

const fault = (code: string, path: string, what: string, mend: string): Fault =>
  new Fault({ code: `control.${code}`, what, mend, place: { path } });

/** A number as float32 holds it; fault where it is none or lies outside. */
function single(x: number, path: string): number {
  if (Number.isFinite(x) && Math.abs(x) <= FLOAT32) return Math.fround(x);
  throw fault(
    'float32',
    path,
    `${x} is no number that float32 holds, and firmware computes in float32`,
    'Write a value below 3.4e38',
  );
}

/** An end of a condition: nothing written is ±infinity. */
const end = (x: number | undefined, none: number, path: string): number =>
  x === undefined ? none : single(x, path);

/** Least whole number of periods that lasts `time`; the first tick that is bad counts as one. */
const atLeast = (time: number, period: number): number => Math.max(1, Math.ceil(time / period - 1e-6));

/** Whole number of periods after which `time` has been passed. */
const longerThan = (time: number, period: number): number => Math.floor(time / period + 1e-6) + 1;

/** Ticks of a row until this watch acts. */
const ticksOf = ({ detect, time }: Watch, period: number): number =>
  detect === 'jump' ? 1 : longerThan(time, period);

/**
 * Flattens a controller. Faults: a name that stands for nothing, a number that float32 does not hold, gains that the gears do not let
 * through. What a controller may do and should not is `checkController`'s to find.
 */
export function compileController(of: Controller, parts: ControllerParts): CompiledController {
  const { period, bodyWeight } = parts;
  const names = of.states.map(({ name }) => name);
  const index = (among: readonly string[], name: string, path: string): number => {
    const i = among.indexOf(name);
    if (i >= 0) return i;
    throw fault('unknown-name', path, `there is no \`${name}\``, `Use one of: ${among.join(', ')}`);
  };
  const mapNames = Object.keys(of.phases);
  const scheduleNames = Object.keys(of.schedules);
  const S = names.length;
  const made = {
    mapOf: new Int32Array(S).fill(-1),
    safeOf: new Int32Array(S).fill(-1),
    kind: new Int32Array(2 * S),
    scheduleOf: new Int32Array(2 * S).fill(-1),
    stiffness: new Float64Array(2 * S),
    damping: new Float64Array(2 * S),
    equilibrium: new Float64Array(2 * S),
    approach: new Float64Array(2 * S),
    carries: new Float64Array(2 * S),
  };
  const software = (joint: DrivenJoint, asked: Gains, path: string): Gains => {
    const gains = parts.software === undefined ? asked : parts.software(joint, asked);
    if (gains !== undefined) return gains;
    throw fault(
      'gears-yield',
      path,
      `${asked.stiffness.toPrecision(3)} N·m/rad is stiffer than the ${joint}’s own gears`,
      'Ask for less',
    );
  };
  const take = (behaviour: Behaviour, joint: DrivenJoint, at: number, path: string): void => {
    made.kind[at] = BEHAVIOUR[behaviour.kind];
    if (behaviour.kind === 'schedule')
      made.scheduleOf[at] = index(scheduleNames, behaviour.schedule, `${path}.schedule`);
    if (behaviour.kind === 'spring' || behaviour.kind === 'thigh') {
      const gains = software(joint, behaviour, path);
      made.stiffness[at] = single(gains.stiffness, `${path}.stiffness`);
      made.damping[at] = single(gains.damping, `${path}.damping`);
    }
    if (behaviour.kind === 'thigh') made.carries[at] = single(behaviour.carries ?? 0, `${path}.carries`);
    if (behaviour.kind === 'spring') {
      made.equilibrium[at] = single(behaviour.equilibrium, `${path}.equilibrium`);
      made.approach[at] = single((behaviour.approach ?? 0) * period, `${path}.approach`);
    }
  };
  of.states.forEach((state, i) => {
    const path = `states.${state.name}`;
    if (state.phase !== undefined) made.mapOf[i] = index(mapNames, state.phase, `${path}.phase`);
    if (state.safe !== undefined) made.safeOf[i] = index(names, state.safe, `${path}.safe`);
    take(state.knee, 'knee', 2 * i, `${path}.knee`);
    take(state.ankle, 'ankle', 2 * i + 1, `${path}.ankle`);
  });

  const rows = of.transitions
    .map((row) => ({
      ...row,
      path: `transitions.${row.from} > ${row.to}`,
      source: index(names, row.from, 'transitions'),
    }))
    .sort((a, b) => a.source - b.source || a.priority - b.priority);
  const conditions = rows.flatMap(({ when, path }) => when.map((one) => ({ ...one, path })));
  const bound = (x: number | undefined, none: number, signal: string, path: string): number =>
    end(x === undefined ? undefined : signal === 'load' ? x * bodyWeight : x, none, path);
  const points = scheduleNames.map((name) => {
    const own = parts.schedules[name] ?? [];
    return ('bySpeed' in own ? own.bySpeed[0].of : own).map((point) => knotOf(point, name));
  });
  const knots = points.flat();
  const carried = mapNames.map((name) => {
    const own = parts.maps[name];
    if (own === undefined) throw new Error(`no map was made for ${name}`);
    return 'bySpeed' in own
      ? own.bySpeed.map((one) => atSpeed(one, singleMap(one.of, `phases.${name}`), `phases.${name}`))
      : singleMap(own, `phases.${name}`);
  });
  const limits = JOINTS.flatMap((joint) => {
    const l = of.limits[joint];
    const path = `limits.${joint}`;
    const wrong =
      (!(l.torque > 0) && 'torque') ||
      (!(l.to > l.from) && 'to') ||
      (!(l.margin > 0) && 'margin') ||
      (!(l.speed > l.fadeSpeed && l.fadeSpeed > 0) && 'speed') ||
      (!(l.hot > l.warm) && 'hot') ||
      (l.returned !== undefined &&
        !(l.returned.power >= 0 && l.returned.bus > l.returned.fadeBus) &&
        'returned') ||
      (!(l.slew > 0) && 'slew');
    if (wrong !== false)
      throw fault(
        'limits',
        `${path}.${wrong}`,
        `the ${joint}’s limits leave nothing to fade over`,
        'Torque, margin and slew above zero, `speed` above `fadeSpeed`, `hot` above `warm`, `bus` above `fadeBus`, `to` above `from`',
      );
    const { power, fadeBus, bus } = l.returned ?? { power: FLOAT32, ...NO_BUS };
    return [
      ...[l.torque, l.from, l.to, l.margin, l.fadeSpeed, l.speed, l.warm, l.hot],
      ...[power, fadeBus, bus, l.slew * period],
    ].map((x) => single(x, path));
  });
  const bySpeed = speedTables();
  const compiled: CompiledController = {
    name: of.name,
    version: of.version,
    states: names,
    watches: of.watches.map(({ name }) => name),
    period: single(period, 'period'),
    filterPole: single(Math.exp(-2 * Math.PI * of.filter * period), 'filter'),
    bodyWeight,
    initial: index(names, of.initial, 'initial'),
    ...made,
    first: starts(
      rows.map(({ source }) => source),
      S,
    ),
    target: Int32Array.from(rows, (row) => index(names, row.to, row.path)),
    hold: Int32Array.from(rows, ({ hold }) => atLeast(hold, period)),
    after: Int32Array.from(rows, ({ after }) => (after > 0 ? atLeast(after, period) : 0)),
    conditionFirst: starts(
      rows.flatMap(({ when }, j) => when.map(() => j)),
      rows.length,
    ),
    signal: Int32Array.from(conditions, ({ signal }) => SIGNALS.indexOf(signal)),
    low: Float64Array.from(conditions, (c) => bound(c.above, Number.NEGATIVE_INFINITY, c.signal, c.path)),
    high: Float64Array.from(conditions, (c) => bound(c.below, Number.POSITIVE_INFINITY, c.signal, c.path)),
    watchSensor: Int32Array.from(of.watches, ({ sensor }) => SENSORS.indexOf(sensor)),
    watchKind: Int32Array.from(of.watches, ({ detect }) => DETECT[detect]),
    watchTicks: Int32Array.from(of.watches, (watch) => ticksOf(watch, period)),
    watchTo: Int32Array.from(of.watches, ({ reaction, to, name }) =>
      reaction === 'warn' ? WARN : to === undefined ? OWN_SAFE : index(names, to, `faults.${name}.to`),
    ),
    watchLimit: Float64Array.from(of.watches, (w) => scaled(w, w.limit ?? 0)),
    watchLow: Float64Array.from(of.watches, (w) =>
      w.low === undefined ? Number.NEGATIVE_INFINITY : scaled(w, w.low),
    ),
    watchHigh: Float64Array.from(of.watches, (w) =>
      w.high === undefined ? Number.POSITIVE_INFINITY : scaled(w, w.high),
    ),
    jumps: watchesThat(({ detect }) => detect === 'jump'),
    warns: watchesThat(({ reaction }) => reaction === 'warn'),
    limits: Float64Array.from(limits),
    windUp: Float64Array.from(JOINTS, (joint) => single(parts.drives?.[joint].windUp ?? 0, joint)),
    unwinds: Float64Array.from(JOINTS, (joint) => {
      const time = parts.drives?.[joint].unwinds ?? 0;
      return time > 0 ? single(Math.exp(-parts.period / time), joint) : 0;
    }),
    ahead: Float64Array.from(JOINTS, (joint) => single(parts.drives?.[joint].ahead ?? 0, joint)),
    apart: Float64Array.from(JOINTS, (_, j) => apartOf(SENSORS.indexOf('kneeSecond') + j)),
    copper: Float64Array.from(JOINTS, (joint) => single(parts.drives?.[joint].copper ?? 0, joint)),
    scheduleFirst: starts(
      points.flatMap((own, k) => own.map(() => k)),
      points.length,
    ),
    at: Float64Array.from(knots, ({ at, path }) => single(at, path)),
    scheduleStiffness: Float64Array.from(knots, ({ stiffness, path }) => single(stiffness, path)),
    scheduleOffset: Float64Array.from(knots, ({ stiffness, equilibrium, path }) =>
      single(stiffness * equilibrium, path),
    ),
    scheduleDamping: Float64Array.from(knots, ({ damping, path }) => single(damping, path)),
    maps: carried.map((own) => ('sign' in own ? own : liveMap(own[0].of))),
    ...(bySpeed && { bySpeed }),
  };
  if (bySpeed !== undefined) beginAt(compiled, bySpeed);
  return compiled;

  function knotOf(point: SchedulePoint, name: string): SchedulePoint & { readonly path: string } {
    const path = `schedules.${name}`;
    return { ...point, ...software(jointOf(of, name), point, path), path };
  }

  function atSpeed<T>({ speed }: AtSpeed<unknown>, made: T, path: string): AtSpeed<T> {
    return { speed: single(speed, path), of: made };
  }

  function layerOf(points: readonly SchedulePoint[], name: string): ScheduleLayer {
    const knots = points.map((point) => knotOf(point, name));
    const row = (value: (knot: SchedulePoint) => number): Float64Array =>
      Float64Array.from(knots, (knot) => single(value(knot), `schedules.${name}`));
    return {
      stiffness: row(({ stiffness }) => stiffness),
      offset: row(({ stiffness, equilibrium }) => stiffness * equilibrium),
      damping: row(({ damping }) => damping),
    };
  }

  function speedTables(): SpeedTables | undefined {
    const maps = carried.map((own) => ('sign' in own ? [] : own));
    const schedules = scheduleNames.map((name) => {
      const own = parts.schedules[name] ?? [];
      return 'bySpeed' in own
        ? own.bySpeed.map((one) => atSpeed(one, layerOf(one.of, name), `schedules.${name}`))
        : [];
    });
    const speeds = [...maps, ...schedules].flatMap((layers) => layers.map(({ speed }) => speed));
    const { speed } = of;
    if (speeds.length === 0 && of.slope !== undefined)
      throw fault(
        'slope-alone',
        'slope',
        'the slope is read in the stances that the speed is read in, and nothing goes by speed',
        'Name several tasks with `by: speed` under `phases`, or take out `slope:`',
      );
    if (speeds.length === 0) return undefined;
    if (speed === undefined || parts.walk === undefined)
      throw fault(
        'no-speed',
        'speed',
        'maps or schedules go by speed, and how the speed is read is not said',
        'Add `speed:`',
      );
    return {
      walk: singleWalk(parts.walk),
      start: single(speed.start, 'speed.start'),
      change: single(speed.change, 'speed.change'),
      loaded: single(speed.loaded * bodyWeight, 'speed.loaded'),
      unloaded: single(speed.unloaded * bodyWeight, 'speed.unloaded'),
      ends: { low: Math.min(...speeds), high: Math.max(...speeds) },
      maps,
      schedules,
      ...(of.slope && { slope: slopeTables(of.slope, parts.walk) }),
    };
  }

  function slopeTables(slope: SlopeChoice, { inclines }: WalkMap): SlopeChoice {
    for (const end of ['from', 'to'] as const)
      if (slope[end] < inclines.from || slope[end] > inclines.to)
        throw fault(
          'slope-untried',
          `slope.${end}`,
          `the leg’s reading of a slope was tried from ${degrees(inclines.from)} to ${degrees(inclines.to)}, and ${degrees(slope[end])} lies beyond`,
          'Stay within',
        );
    const round = (name: keyof SlopeChoice): number => single(slope[name], `slope.${name}`);
    return {
      from: round('from'),
      to: round('to'),
      level: round('level'),
      share: round('share'),
      change: round('change'),
      hold: slope.hold,
    };
  }

  function watchesThat(are: (watch: Watch) => boolean): Int32Array {
    return Int32Array.from(of.watches.flatMap((watch, w) => (are(watch) ? [w] : [])));
  }

  function apartOf(second: number): number {
    const limits = of.watches
      .filter(({ sensor, detect }) => detect === 'disagrees' && sensor === SENSORS[second])
      .map((w) => scaled(w, w.limit ?? 0));
    return limits.length === 0 ? FLOAT32 : Math.max(...limits);
  }

  function scaled({ sensor, name }: Watch, x: number): number {
    return single(sensor === 'load' ? x * bodyWeight : x, `faults.${name}`);
  }
}

/** Where the rows of each of `count` owners begin, rows in order of owner. */
function starts(owners: readonly number[], count: number): Int32Array {
  const first = new Int32Array(count + 1);
  for (const owner of owners) first[owner + 1]++;
  for (let k = 0; k < count; k++) first[k + 1] += first[k];
  return first;
}

/** The joint that uses a schedule. */
function jointOf({ states }: Controller, schedule: string): DrivenJoint {
  const uses = ({ kind, ...rest }: Behaviour): boolean =>
    kind === 'schedule' && (rest as { schedule: string }).schedule === schedule;
  return states.some(({ ankle }) => uses(ankle)) ? 'ankle' : 'knee';
}

/** Writes maps and schedules of the speed that the file begins with. */
function beginAt(of: CompiledController, { maps, schedules, start }: SpeedTables): void {
  maps.forEach((layers, p) => {
    if (layers.length > 0) blendMap(of.maps[p] as ReturnType<typeof liveMap>, layers, start);
  });
  const rows = { stiffness: of.scheduleStiffness, offset: of.scheduleOffset, damping: of.scheduleDamping };
  schedules.forEach((layers, k) => {
    if (layers.length > 0) blendSchedule(rows, of.scheduleFirst[k], layers, start);
  });
}

/** What the estimate is told, every number in float32. */
function singleWalk({ thigh, shank, sole, flat, speeds, inclines }: WalkMap): WalkMap {
  const round = (x: number): number => single(x, 'speed');
  return {
    thigh: round(thigh),
    shank: round(shank),
    sole: sole.map(round),
    flat: { pitch: round(flat.pitch), perSpeed: round(flat.perSpeed), centre: round(flat.centre) },
    speeds: { from: round(speeds.from), to: round(speeds.to) },
    inclines: { from: round(inclines.from), to: round(inclines.to) },
  };
}

/** A map with every number in float32. */
function singleMap({ map, sign, scale, pace }: CarriedMap, path: string): CarriedMap {
  const round = (x: number): number => single(x, path);
  const all = (values: Float64Array): Float64Array => values.map(round);
  return {
    sign,
    scale: round(scale),
    pace: round(pace),
    map: {
      ...map,
      toeOff: round(map.toeOff),
      referenceOn: round(map.referenceOn),
      full: round(map.full),
      peak: round(map.peak),
      play: round(map.play),
      phase: all(map.phase),
      bend: all(map.bend),
      fastest: round(map.fastest),
      finishRate: round(map.finishRate),
      corner: round(map.corner),
      blend: round(map.blend),
      knee: all(map.knee),
      ankle: all(map.ankle),
      ...(map.torque && {
        torque: {
          kneeHeld: all(map.torque.kneeHeld),
          kneeMoved: all(map.torque.kneeMoved),
          ankleHeld: all(map.torque.ankleHeld),
          ankleMoved: all(map.torque.ankleMoved),
          fastest: round(map.torque.fastest),
        },
      }),
    },
  };
}

/** Transitions that leave a state, as the tick tries them. */
export const leaving = ({ transitions }: Controller, from: string): readonly Transition[] =>
  transitions.filter((row) => row.from === from).sort((a, b) => a.priority - b.priority);
