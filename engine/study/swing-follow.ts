import { soleClearance } from '../control/sole-clearance.ts';
import { type SwingMap, swingMap } from '../control/swing-map.ts';
import { beginSwing, SWING, swingState, swingTick } from '../control/swing-tick.ts';
import { type ThighOverStride, thighSignal, timeWarpError } from '../control/time-warp.ts';
import { trajectoryAt } from '../control/trajectory.ts';
import { curveAt } from '../gait/curve.ts';
import type { StrideCurve } from '../gait/stride.ts';
import type { StrideTask } from '../gait/task.ts';
import { Fault } from '../quantity/fault.ts';
import type { StudyInput } from './study-input.ts';
import { type PhaseMethod, readyMethod } from './swing-methods.ts';
import { type SwingPlan, swingPlan } from './swing-plan.ts';

type Open = { readonly openBecause: string };

/** How far a joint's command is from the stride's own angle over the swing, rad. */
export interface FollowError {
  readonly rms: number;
  readonly worst: number;
  /** Command less own angle at the next contact. */
  readonly atContact: number;
}

/** One swing tick by tick, rad; what is commanded stands beside what the stride does at the time the command takes effect. */
export interface SwingCourse {
  /** Share of the stride. */
  readonly place: Float64Array;
  readonly phase: Float64Array;
  readonly knee: Float64Array;
  readonly ankle: Float64Array;
  readonly ownThigh: Float64Array;
  readonly ownKnee: Float64Array;
  readonly ownAnkle: Float64Array;
}

/** A swing of one task through the controller. */
export interface SwingFollow {
  readonly task: string;
  readonly title: string;
  readonly method: PhaseMethod;
  /** Whether the swing finishes by itself where the thigh no longer leads; only the latched map has that. */
  readonly finish: boolean;
  readonly trajectories: string;
  readonly strideTime: number;
  readonly stance: number;
  /** Way of the thigh from toe-off to its peak in the reference, rad. */
  readonly thighRange: number;
  /** Share of the stride where the thigh no longer leads, and where it peaks. */
  readonly fullPhase: number;
  readonly peakPhase: number;
  /** Largest |s − true share of the stride|. */
  readonly phaseError: number;
  readonly knee: FollowError;
  readonly ankle: FollowError;
  readonly course: SwingCourse;
}

/** How a phase behaves beside the walk it was made for. Shares of the stride. */
export interface SwingSteadiness {
  /** Largest |Δs| while the thigh is held 3 s, over five angles below where it leads no more. */
  readonly hold: number;
  /** `timeWarpError` of the part of the swing that the thigh leads. */
  readonly warp: number;
}

/** What the finish and a wearer who walks otherwise make of the swing: latched map only. */
export interface SwingWhatIf {
  /** Knee angle that the finish takes away by itself while the thigh is held at its peak, rad, and what the lowest sole point rises by, m. */
  readonly raisedHold: { readonly kneeExtends: number; readonly soleRises: number };
  /** Knee flexion beyond the stride's own at contact where the thigh comes only to four fifths of its way, rad. */
  readonly shortStep: number;
  /** Where the thigh is read 3° too far back, or forward: the larger phase error, and the knee's error at contact that is larger. */
  readonly thighOff: { readonly phaseError: number; readonly kneeAtContact: number };
}

/** What a run needs to know, the same for every figure. */
interface Ready {
  readonly plan: SwingPlan;
  readonly map: SwingMap;
  readonly thigh: ThighOverStride;
  readonly dt: number;
  /** s: from the thigh to what is read of it, and from reading to the command's effect. */
  readonly before: number;
  readonly after: number;
  readonly task: StrideTask;
}

/** Shares of the thigh's way at which it is held, s of holding, and what a short step keeps of the way. Our choice. */
const HELD_AT = [0.1, 0.3, 0.5, 0.7, 0.9] as const;
const HOLD_TIME = 3;
const SHORT_STEP = 0.8;
/** Misreading of the thigh by a socket that slips or a sensor that is off, rad: 3°. */
const THIGH_OFF = (3 * Math.PI) / 180;

/** Whether the swing finishes by itself where nothing else is said: not on stairs, where a foot in the air may be over an edge. */
const finishes = (plan: SwingPlan): boolean => !plan.stride.activity.startsWith('stair');

function ready(input: StudyInput, id: string, finish: boolean | undefined): Ready | Open {
  return remembered(input, `ready ${id} ${finish}`, () => madeReady(input, id, finish));
}

function madeReady(input: StudyInput, id: string, finish: boolean | undefined): Ready | Open {
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

/** Latched swing from toe-off to contact; `heard` turns the true thigh into what the sensor says of it. */
function latched(
  { plan, map, thigh, dt, before, after }: Ready,
  heard: (angle: number) => number = (angle) => angle,
): SwingCourse {
  const { stance, strideTime } = plan.stride;
  const own = (curve: typeof plan.own.knee, place: number) => curveAt(curve, 100 * Math.min(1, place));
  const first = Math.ceil((stance * strideTime) / dt - 1e-9);
  const ticks = Math.max(0, Math.floor((strideTime - after) / dt + 1e-9) - first + 1);
  const course = emptyCourse(ticks);
  const state = swingState();
  const read = (k: number) => thigh(((first + k) * dt - before) / strideTime);
  const [knee, ankle] = [own(plan.own.knee, stance), own(plan.own.ankle, stance)];
  const pose = {
    thigh: heard(read(0).value),
    knee: knee.value,
    kneeRate: (100 * knee.slope) / strideTime,
    ankle: ankle.value,
    ankleRate: (100 * ankle.slope) / strideTime,
  };
  beginSwing(map, state, pose, 1 / strideTime);
  for (let k = 0; k < ticks; k++) {
    const { value, slope } = read(k);
    swingTick(map, state, heard(value), slope / strideTime, dt);
    const place = ((first + k) * dt + after) / strideTime;
    course.place[k] = place;
    course.phase[k] = state[SWING.phase];
    course.knee[k] = state[SWING.knee];
    course.ankle[k] = state[SWING.ankle];
    course.ownThigh[k] = thigh(Math.min(place, 1 - 1e-12)).value;
    course.ownKnee[k] = own(plan.own.knee, place).value;
    course.ownAnkle[k] = own(plan.own.ankle, place).value;
  }
  return course;
}

const emptyCourse = (ticks: number): SwingCourse => ({
  place: new Float64Array(ticks),
  phase: new Float64Array(ticks),
  knee: new Float64Array(ticks),
  ankle: new Float64Array(ticks),
  ownThigh: new Float64Array(ticks),
  ownKnee: new Float64Array(ticks),
  ownAnkle: new Float64Array(ticks),
});

/** Swing by one of the other phases: trajectories at the phase as it comes, without latch, blend or finish. */
function unlatched(of: Ready, method: PhaseMethod): SwingCourse {
  const { plan, map, thigh, dt, before, after } = of;
  const { stance, strideTime } = plan.stride;
  const { course: phaseOf, settle } = readyMethod(method, map, plan.thigh, { stance, strideTime, dt });
  const start = Math.ceil((settle * strideTime) / dt - 1e-9);
  const pace = (t: number) => ({ x: Math.max(0, t - before) / strideTime, rate: 1 / strideTime });
  const signal = thighSignal(thigh, stance, pace, dt, start + Math.round(strideTime / dt) + 1);
  const phase = phaseOf(signal);
  const shown = Array.from(phase.keys()).filter((k) => {
    const place = (k * dt + after) / strideTime - settle;
    return place >= stance && place <= 1 && !Number.isNaN(phase[k]);
  });
  const course = emptyCourse(shown.length);
  const out = new Float64Array(3);
  shown.forEach((k, j) => {
    const place = (k * dt + after) / strideTime - settle;
    course.place[j] = place;
    course.phase[j] = phase[k];
    trajectoryAt(plan.knee, phase[k], out, 0);
    course.knee[j] = out[0];
    trajectoryAt(plan.ankle, phase[k], out, 0);
    course.ankle[j] = out[0];
    course.ownThigh[j] = thigh(Math.min(place, 1 - 1e-12)).value;
    course.ownKnee[j] = curveAt(plan.own.knee, 100 * place).value;
    course.ownAnkle[j] = curveAt(plan.own.ankle, 100 * place).value;
  });
  return course;
}

function errorOf(commanded: Float64Array, own: Float64Array): FollowError {
  let square = 0;
  let worst = 0;
  for (let k = 0; k < own.length; k++) {
    const error = commanded[k] - own[k];
    square += error * error;
    worst = Math.max(worst, Math.abs(error));
  }
  const last = own.length - 1;
  return { rms: Math.sqrt(square / own.length), worst, atContact: commanded[last] - own[last] };
}

const phaseErrorOf = ({ phase, place }: SwingCourse): number =>
  phase.reduce((worst, s, k) => Math.max(worst, Math.abs(s - place[k])), 0);

/** What has been worked out, by the tasks it was worked out from; the key names all else that can change it. */
const known = new WeakMap<
  StudyInput['tasks'],
  Map<string, { readonly strides: object; readonly made: unknown }>
>();

/** `make` once for each key; every figure here but the sole's depends on strides, wearer, period and delays alone. */
function remembered<Made>(input: StudyInput, what: string, make: () => Made): Made {
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

/**
 * The stride of one task through the swing controller at the leg's own period and delays: its published thigh is what the sensor
 * sees, its knee and ankle are what the commands are set against. The joints are taken to do what they are told, the leg to stand
 * as the stride does at toe-off, load and unload to be known at once. Open where the thigh goes too short a way, an angle is not
 * known, or the leg file lacks period or delay.
 */
export function swingFollow(
  input: StudyInput,
  id: string,
  { method = 'latch', finish }: { readonly method?: PhaseMethod; readonly finish?: boolean } = {},
): SwingFollow | Open {
  return remembered(input, `follow ${id} ${method} ${finish}`, () => follow(input, id, method, finish));
}

function follow(
  input: StudyInput,
  id: string,
  method: PhaseMethod,
  finish: boolean | undefined,
): SwingFollow | Open {
  const of = ready(input, id, finish);
  if ('openBecause' in of) return of;
  const { plan, map } = of;
  const course = method === 'latch' ? latched(of) : unlatched(of, method);
  return {
    task: id,
    title: of.task.title,
    method,
    finish: method === 'latch' && map.finishRate > 0,
    trajectories: plan.from,
    strideTime: plan.stride.strideTime,
    stance: plan.stride.stance,
    thighRange: map.peak - map.referenceOn,
    fullPhase: map.fullPhase,
    peakPhase: map.peakPhase,
    phaseError: phaseErrorOf(course),
    knee: errorOf(course.knee, course.ownKnee),
    ankle: errorOf(course.ankle, course.ownAnkle),
    course,
  };
}

/**
 * Held and walked unevenly: the thigh held for 3 s at five angles below where it leads no more, and the same path at an even and at
 * an uneven pace. The finish, which runs by time, is left out of the second.
 */
export function swingSteadiness(
  input: StudyInput,
  id: string,
  { method = 'latch' }: { readonly method?: PhaseMethod } = {},
): SwingSteadiness | Open {
  return remembered(input, `steadiness ${id} ${method}`, () => steadiness(input, id, method));
}

function steadiness(input: StudyInput, id: string, method: PhaseMethod): SwingSteadiness | Open {
  const of = ready(input, id, undefined);
  if ('openBecause' in of) return of;
  const { plan, map, thigh, dt } = of;
  const { stance, strideTime } = plan.stride;
  const stride = { stance, strideTime, dt };
  const holding = readyMethod(method, map, plan.thigh, stride);
  const on = thigh(stance).value;
  let hold = 0;
  for (const share of HELD_AT) {
    let place = stance;
    while (place < 1 && thigh(place).value < on + share * (map.full - on)) place += 1e-3;
    // the last tick of the walk, and from the next on the thigh stays where it was then
    const last = Math.round(((holding.settle + place) * strideTime) / dt);
    const stays = (last * dt) / strideTime;
    const pace = (t: number) =>
      t < (last + 0.5) * dt ? { x: t / strideTime, rate: 1 / strideTime } : { x: stays, rate: 0 };
    const phase = holding.course(thighSignal(thigh, stance, pace, dt, last + Math.round(HOLD_TIME / dt)));
    for (let k = last + 1; k < phase.length; k++) hold = Math.max(hold, Math.abs(phase[k] - phase[last]));
  }
  const still = { ...map, finishRate: 0 };
  const { course, settle } = readyMethod(method, still, plan.thigh, stride);
  return { hold, warp: timeWarpError(course, thigh, { ...stride, from: settle, strides: settle + 2 }) };
}

/** The finish while the thigh is held high, a step that comes short, a thigh that is misread. */
export function swingWhatIf(
  input: StudyInput,
  id: string,
  { finish }: { readonly finish?: boolean } = {},
): SwingWhatIf | Open {
  const walked = remembered(input, `what if ${id} ${finish}`, () => walkedOtherwise(input, id, finish));
  if ('openBecause' in walked) return walked;
  const { of, ...rest } = walked;
  return { raisedHold: raisedHold(input, of), ...rest };
}

function walkedOtherwise(
  input: StudyInput,
  id: string,
  finish: boolean | undefined,
): (Omit<SwingWhatIf, 'raisedHold'> & { readonly of: Ready }) | Open {
  const of = ready(input, id, finish);
  if ('openBecause' in of) return of;
  const on = of.thigh(of.plan.stride.stance).value;
  const short = latched(of, (angle) => on + SHORT_STEP * (angle - on));
  const off = [-THIGH_OFF, THIGH_OFF].map((by) => latched(of, (angle) => angle + by));
  const atContact = off.map((course) => errorOf(course.knee, course.ownKnee).atContact);
  return {
    of,
    shortStep: errorOf(short.knee, short.ownKnee).atContact,
    thighOff: {
      phaseError: Math.max(...off.map(phaseErrorOf)),
      kneeAtContact: Math.abs(atContact[0]) > Math.abs(atContact[1]) ? atContact[0] : atContact[1],
    },
  };
}

/** From where the thigh no longer leads to the end of the finish, the thigh at its peak and the hip unmoved. */
function raisedHold(input: StudyInput, { plan, map }: Ready): SwingWhatIf['raisedHold'] {
  const out = new Float64Array(6);
  const pose = (phase: number): { knee: number; lowest: number } => {
    trajectoryAt(plan.knee, phase, out, 0);
    trajectoryAt(plan.ankle, phase, out, 3);
    return { knee: out[0], lowest: soleClearance(input.leg.segments, 0, map.peak, out[0], out[3]).height };
  };
  const [from, to] = [pose(map.fullPhase), pose(map.finishRate > 0 ? 1 : map.fullPhase)];
  return { kneeExtends: from.knee - to.knee, soleRises: to.lowest - from.lowest };
}
