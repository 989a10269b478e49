import type { WholeSensor } from '../control/thigh-sensor.ts';
import { WALK, WALK_STATUS, type WalkMap, walkState, walkTick } from '../control/walk-estimate.ts';
import { type HeardWalk, heardWalk, sensorKey, sensorOf } from './heard-walk.ts';
import type { StudyInput } from './study-input.ts';
import { remembered } from './swing-ready.ts';
import { type TriedWalk, triedWalk, walkMap } from './walk-map.ts';
import { type WalkedStride, walkedCourse } from './walked-course.ts';

type Open = { readonly openBecause: string };

/** Stances that are judged. Our choice. */
const JUDGED = 6;
/** Slopes that are tried, rad, and how they are taken: 4° and 8° either way. Our choice. */
const SLOPES = [-8, -4, 4, 8].map((x) => (x * Math.PI) / 180);
const TAKEN = ['leg', 'ankle'] as const;
/** Nearness to where the estimate stays that counts as settled: m/s, and half a degree. Our choice. */
const SETTLED = { speed: 0.05, incline: Math.PI / 360 } as const;

/** Errors of the estimate over the judged stances, with the thigh as it is or as the sensor reads it. */
export interface EstimateError {
  /** Of v̂/v − 1, the largest by size, with the sensor's errors to either side; NaN where the true speed is not known. */
  readonly speed: number;
  /** Of γ̂ − γ, the largest by size, rad. */
  readonly incline: number;
  /** Largest distance of one reading from their mean, rad: what zeroing on level ground cannot take away. */
  readonly inclineScatter: number;
  /** The same half way through stance: running readings; NaN where there was none. */
  readonly speedHalfway: number;
  readonly inclineHalfway: number;
  /** Stances refused, of how many. */
  readonly refused: number;
  readonly stances: number;
}

/** One task's walk. */
export interface WalkEstimate {
  readonly task: string;
  readonly title: string;
  /** On this wearer's leg, m/s. */
  readonly speed: number;
  readonly strideTime: number;
  /** Every angle known, and with the sensor's errors. */
  readonly known: EstimateError;
  readonly sensed: EstimateError;
  readonly hull: Pick<WalkMap, 'speeds' | 'inclines'>;
}

interface Ready {
  readonly sensor: WholeSensor;
  readonly dt: number;
  readonly walk: TriedWalk;
  readonly map: WalkMap;
}

function ready(input: StudyInput, id: string): Ready | Open {
  const task = input.tasks.find((each) => each.id === id);
  if (task?.kind !== 'stride') return { openBecause: 'it has no stride' };
  const { controller } = input.leg;
  if (controller === undefined)
    return {
      openBecause: 'the leg file does not say how often the controller runs: add `controllerHardware`',
    };
  const sensor = sensorOf(input);
  if ('openBecause' in sensor) return sensor;
  const walk = triedWalk(input, task);
  if ('openBecause' in walk) return walk;
  const map = walkMap(input, walk, controller.period);
  return 'openBecause' in map ? map : { sensor, dt: controller.period, walk, map };
}

/** What one stance said. */
interface Reading {
  readonly status: number;
  readonly speed: number;
  readonly incline: number;
  readonly speedHalfway: number;
  readonly inclineHalfway: number;
}

/** A walk through the estimate, stance by stance, after the sensor has settled; `heard` left out: every angle known. */
function readings(
  { map, dt }: Ready,
  from: WalkedStride,
  to: WalkedStride | undefined,
  heard: HeardWalk | undefined,
): Reading[] {
  // without a sensor nothing has to settle but the estimate's own first stance
  const settled = heard?.settled ?? 2;
  const before = to === undefined ? settled + JUDGED : settled;
  const course = walkedCourse(from, before, dt, to, JUDGED);
  const state = walkState();
  const found: Reading[] = [];
  let halfway = { speed: Number.NaN, incline: Number.NaN };
  let ended = 0;
  const first = Math.floor(((settled - 1) * from.stride.strideTime) / dt);
  for (let k = first; k < course.knee.length; k++) {
    const thigh = heard === undefined ? course.motion.angle[k] : heard.angle(k * dt);
    walkTick(map, state, course.loaded[k] === 1, thigh, course.knee[k], course.ankle[k], dt);
    const place = course.place[k];
    const half = place - Math.floor(place) < (to ?? from).stride.stance / 2;
    if (course.loaded[k] === 1 && half)
      halfway = { speed: state[WALK.speedNow], incline: state[WALK.inclineNow] };
    if (state[WALK.stances] > ended) {
      ended = state[WALK.stances];
      if (place >= settled)
        found.push({
          status: state[WALK.status],
          speed: state[WALK.speed],
          incline: state[WALK.incline],
          speedHalfway: halfway.speed,
          inclineHalfway: halfway.incline,
        });
    }
  }
  return found;
}

const largest = (of: readonly number[]): number =>
  of.reduce((a, b) => (Number.isNaN(a) || Math.abs(b) > Math.abs(a) ? b : a), Number.NaN);

function errorOf(found: readonly Reading[], speed: number, incline: number): EstimateError {
  const read = found.filter(({ status }) => status === WALK_STATUS.read);
  const mean = read.reduce((sum, each) => sum + each.incline, 0) / read.length;
  return {
    speed: largest(read.map((each) => each.speed / speed - 1)),
    incline: largest(read.map((each) => each.incline - incline)),
    inclineScatter: Math.abs(largest(read.map((each) => each.incline - mean))),
    speedHalfway: largest(read.map((each) => each.speedHalfway / speed - 1)),
    inclineHalfway: largest(read.map((each) => each.inclineHalfway - incline)),
    refused: found.length - read.length,
    stances: found.length,
  };
}

/** The worse of two runs, figure by figure: the sensor's errors may lie to either side. */
function worse(a: EstimateError, b: EstimateError): EstimateError {
  const of = (figure: Exclude<keyof EstimateError, 'refused' | 'stances'>) => largest([a[figure], b[figure]]);
  return {
    speed: of('speed'),
    incline: of('incline'),
    inclineScatter: of('inclineScatter'),
    speedHalfway: of('speedHalfway'),
    inclineHalfway: of('inclineHalfway'),
    refused: a.refused + b.refused,
    stances: a.stances + b.stances,
  };
}

/** A walk as the sensor reads it with its errors to either side. */
const heardBothWays = (sensor: WholeSensor, walked: WalkedStride) =>
  ([1, -1] as const).map((side) => heardWalk(sensor, walked, JUDGED, { side }));

/**
 * Speed and slope as the leg reads them in one walking task on level ground, stance by stance. Open where the leg file does not say
 * all of the sensor or how often the controller runs, or where the task is no walk with all angles and a known speed.
 */
export function walkEstimate(input: StudyInput, id: string): WalkEstimate | Open {
  return remembered(input, `estimate ${id} ${sensorKey(input)}`, () => {
    const of = ready(input, id);
    if ('openBecause' in of) return of;
    const { walk, map, sensor } = of;
    const { walked, speed } = walk;
    const judged = (heard: HeardWalk | undefined) =>
      errorOf(readings(of, walked, undefined, heard), speed, 0);
    return {
      task: id,
      title: walk.task.title,
      speed,
      strideTime: walked.stride.strideTime,
      known: judged(undefined),
      sensed: heardBothWays(sensor, walked).map(judged).reduce(worse),
      hull: { speeds: map.speeds, inclines: map.inclines },
    };
  });
}

/** One slope, taken up by the whole leg or by the ankle alone, rad. */
export interface SlopeEstimate {
  readonly incline: number;
  readonly taken: 'leg' | 'ankle';
  readonly known: EstimateError;
  readonly sensed: EstimateError;
}

/** A leaning walk: the joints as on the level, or the ankle bent by the slope. */
const leaning = (walked: WalkedStride, incline: number, taken: 'leg' | 'ankle'): WalkedStride => ({
  ...walked,
  lean: taken === 'leg' ? { leg: incline, ankle: 0 } : { leg: 0, ankle: incline },
});

/**
 * One task's walk put on slopes. No stride on a slope ships with thigh, knee and ankle, so these are posed: the whole leg leans with the
 * ground, or the ankle alone takes the slope up. People do something between the two. With the ankle alone the true speed is not known.
 */
export function slopeEstimates(input: StudyInput, id: string): readonly SlopeEstimate[] | Open {
  return remembered(input, `slopes ${id} ${sensorKey(input)}`, () => {
    const of = ready(input, id);
    if ('openBecause' in of) return of;
    const { walked, speed } = of.walk;
    const level = heardBothWays(of.sensor, walked);
    return SLOPES.flatMap((incline) =>
      TAKEN.map((taken): SlopeEstimate => {
        const leans = leaning(walked, incline, taken);
        // an ankle that bends leaves the thigh as it is
        const heard = taken === 'ankle' ? level : heardBothWays(of.sensor, leans);
        const judged = (by: HeardWalk | undefined) =>
          errorOf(readings(of, leans, undefined, by), taken === 'leg' ? speed : Number.NaN, incline);
        return { incline, taken, known: judged(undefined), sensed: heard.map(judged).reduce(worse) };
      }),
    );
  });
}

/** A change while walking, and how many strides it takes until the estimate stays near where it ends, the stride of the change first. */
export interface EstimateSettling {
  readonly change: string;
  /** NaN where a stance is refused and it never stays. */
  readonly speed: number;
  readonly incline: number;
  readonly readings: readonly Reading[];
}

const CHANGE_SLOPE = SLOPES[3];

/**
 * Settling after a change that takes one stride: from the slowest to the fastest level walk of the study and back, and from one task's
 * level walk onto a slope of 8° and back, the whole leg leaning. With the sensor's errors.
 */
export function estimateSettling(input: StudyInput, id: string): readonly EstimateSettling[] | Open {
  return remembered(input, `settling ${id} ${sensorKey(input)}`, () => {
    const of = ready(input, id);
    if ('openBecause' in of) return of;
    const walks = input.tasks.flatMap((task) => {
      const walk = task.kind === 'stride' ? triedWalk(input, task) : { openBecause: '' };
      return 'openBecause' in walk || walk.walked.stride.activity !== 'level walking' ? [] : [walk];
    });
    const slow = walks.reduce((a, b) => (b.speed < a.speed ? b : a)).walked;
    const fast = walks.reduce((a, b) => (b.speed > a.speed ? b : a)).walked;
    const { walked } = of.walk;
    const up = leaning(walked, CHANGE_SLOPE, 'leg');
    return (
      [
        ['slowest to fastest', slow, fast],
        ['fastest to slowest', fast, slow],
        ['level to 8° up', walked, up],
        ['8° up to level', up, walked],
      ] as const
    ).map(([change, from, to]) => {
      const found = readings(of, from, to, heardWalk(of.sensor, from, JUDGED, { to }));
      return {
        change,
        speed: settlesAfter(found, ({ speed }) => speed, SETTLED.speed),
        incline: settlesAfter(found, ({ incline }) => incline, SETTLED.incline),
        readings: found,
      };
    });
  });
}

/** Strides until every reading lies within `near` of the last; NaN where the last was refused. */
function settlesAfter(found: readonly Reading[], of: (reading: Reading) => number, near: number): number {
  const last = found[found.length - 1];
  if (last === undefined || last.status !== WALK_STATUS.read) return Number.NaN;
  let strides = found.length;
  while (
    strides > 1 &&
    found[strides - 2].status === WALK_STATUS.read &&
    Math.abs(of(found[strides - 2]) - of(last)) <= near
  )
    strides--;
  return strides;
}
