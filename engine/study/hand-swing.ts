import { OSCILLATOR, type OscillatorGains, oscillatorStep } from '../control/adaptive-oscillator.ts';
import { oscillatorCourse, planeCourse } from '../control/phase-course.ts';
import { derivativePhase } from '../control/phase-plane.ts';
import type { SwingMap } from '../control/swing-map.ts';
import { beginSwing, SWING, swingState, swingTick } from '../control/swing-tick.ts';
import { thighShare } from '../control/thigh-play.ts';
import { evenPace, thighSignal } from '../control/time-warp.ts';
import { trajectoryAt } from '../control/trajectory.ts';
import { curveAt } from '../gait/curve.ts';
import type { HandMethod } from './phase-methods.ts';
import type { StudyInput } from './study-input.ts';
import {
  OSCILLATOR_SETTLES,
  overStrides,
  type PhaseNames,
  phaseNames,
  strideShare,
  thighRhythm,
} from './swing-methods.ts';
import type { SwingPlan } from './swing-plan.ts';
import { readySwing } from './swing-ready.ts';

type Open = { readonly openBecause: string };

/** One task's swing controller, ready to be ticked by a thigh that anything may lead. */
export interface HandSwing {
  readonly task: string;
  readonly title: string;
  readonly method: HandMethod;
  readonly plan: SwingPlan;
  readonly map: SwingMap;
  /** s */
  readonly dt: number;
  /** Middle of the thigh's swing, rad, and of the stride, rad/s: what the phase plane knows. */
  readonly centre: number;
  readonly omega: number;
  readonly gains: OscillatorGains;
  readonly names: PhaseNames;
  /** The oscillator as it is at toe-off of a walk that it has learnt. */
  readonly learnt: Float64Array;
  /** Thigh of the stride itself from toe-off to its peak, rad, at even shares of that part, and where the peak is. */
  readonly ownWay: Float64Array;
  readonly ownPeak: number;
}

/** Places in what a tick says: stride phase (no number in a stance that the phase does not speak of), knee and ankle, rad. */
export const HAND = { phase: 0, knee: 1, ankle: 2, fault: 3 } as const;

/** Everything that changes from tick to tick. */
export interface HandState {
  /** As named by HAND; fault as in `SWING`. */
  readonly says: Float64Array;
  readonly swing: Float64Array;
  readonly oscillator: Float64Array;
  readonly work: Float64Array;
  /** Whether the foot stood on the ground in the tick before. */
  loaded: boolean;
}

const WAY_STEPS = 400;

/** Open for the same reasons as `readySwing`. */
export function handSwing(input: StudyInput, id: string, method: HandMethod): HandSwing | Open {
  const of = readySwing(input, id, undefined);
  if ('openBecause' in of) return of;
  const { plan, map, thigh, dt, task } = of;
  const { stance, strideTime } = plan.stride;
  const over = overStrides(plan.thigh);
  const { centre, omega, oscillator, gains } = thighRhythm(over, strideTime);
  const stride = { stance, strideTime, dt };
  const names =
    method === 'oscillator'
      ? phaseNames((signal) => oscillatorCourse(oscillator, gains, signal), over, stride, OSCILLATOR_SETTLES)
      : phaseNames((signal) => planeCourse(centre, omega, signal), over, stride, 2);
  const learnt = Float64Array.from(oscillator);
  const each = Math.round(strideTime / dt);
  const ticks = Math.round((OSCILLATOR_SETTLES + stance) * each);
  const walk = thighSignal(over, stance, evenPace(each * dt), dt, ticks);
  for (let k = 0; k < ticks; k++) oscillatorStep(learnt, gains, walk.thigh[k], dt);
  let ownPeak = stance;
  for (let k = 0; k <= 1000; k++) {
    const place = stance + ((1 - stance) * k) / 1001;
    if (thigh(place).value > thigh(ownPeak).value) ownPeak = place;
  }
  const ownWay = Float64Array.from(
    { length: WAY_STEPS + 1 },
    (_, k) => thigh(stance + ((ownPeak - stance) * k) / WAY_STEPS).value,
  );
  return {
    ...{ task: id, title: task.title, method, plan, map, dt },
    ...{ centre, omega, gains, names, learnt, ownWay, ownPeak },
  };
}

/** The leg as it leaves the ground, thigh and pose the stride's own. */
export function handState(of: HandSwing): HandState {
  const state: HandState = {
    says: new Float64Array(4),
    swing: swingState(),
    oscillator: Float64Array.from(of.learnt),
    work: new Float64Array(3),
    loaded: false,
  };
  leaveGround(of, state, of.ownWay[0]);
  return state;
}

/** Toe-off in the stride's own pose, with the thigh where it is. */
function leaveGround(of: HandSwing, state: HandState, thigh: number): void {
  const { plan, map } = of;
  const { stance, strideTime } = plan.stride;
  const knee = curveAt(plan.own.knee, 100 * stance);
  const ankle = curveAt(plan.own.ankle, 100 * stance);
  const [kneeRate, ankleRate] = [(100 * knee.slope) / strideTime, (100 * ankle.slope) / strideTime];
  const pose = { thigh, knee: knee.value, kneeRate, ankle: ankle.value, ankleRate };
  beginSwing(map, state.swing, pose, 1 / strideTime);
  state.loaded = false;
  latchSays(state);
}

/** The foot set down and lifted again with the leg as it stands: the map latches this thigh. Nothing to the other phases, which know of no foot. */
export function liftFoot(of: HandSwing, state: HandState, thigh: number): void {
  if (of.method !== 'latch') return;
  const { says } = state;
  const pose = { thigh, knee: says[HAND.knee], kneeRate: 0, ankle: says[HAND.ankle], ankleRate: 0 };
  beginSwing(of.map, state.swing, pose, 1 / of.plan.stride.strideTime);
  latchSays(state);
}

function latchSays({ says, swing }: HandState): void {
  says[HAND.phase] = swing[SWING.phase];
  says[HAND.knee] = swing[SWING.knee];
  says[HAND.ankle] = swing[SWING.ankle];
  says[HAND.fault] = swing[SWING.fault];
}

/**
 * One tick: thigh as the sensor says it, rad and rad/s, no number where it is unplugged. `place`: share of the stride where the leg walks
 * along a known one, below its stance with the foot on the ground; no number where the thigh hangs in the air, led by hand.
 *
 * Latched map: in stance the pose is the stride's own, since the ground leads there, and there is no phase. Phase plane and oscillator speak
 * of the whole stride, without blend and finish. Whatever the method, a thigh that is no number leaves phase, knee and ankle as they are.
 */
export function handTick(of: HandSwing, state: HandState, thigh: number, rate: number, place: number): void {
  const { map, plan, dt, method } = of;
  const { says, swing } = state;
  if (method === 'latch') {
    if (place < plan.stride.stance) {
      says[HAND.phase] = Number.NaN;
      says[HAND.knee] = curveAt(plan.own.knee, 100 * place).value;
      says[HAND.ankle] = curveAt(plan.own.ankle, 100 * place).value;
      says[HAND.fault] = 0;
      state.loaded = true;
      return;
    }
    if (state.loaded) leaveGround(of, state, thigh);
    swingTick(map, swing, thigh, rate, dt);
    latchSays(state);
    return;
  }
  if (!Number.isFinite(thigh + rate)) {
    says[HAND.fault] = 1;
    return;
  }
  says[HAND.fault] = 0;
  let own = 0;
  if (method === 'plane') own = derivativePhase(thigh, rate, of.centre, of.omega);
  else {
    oscillatorStep(state.oscillator, of.gains, thigh, dt);
    own = state.oscillator[OSCILLATOR.phase];
  }
  const turns = (own - of.names.start) / (2 * Math.PI);
  const phase = strideShare(of.names.told, 2 * Math.PI * (turns - Math.floor(turns)));
  says[HAND.phase] = phase;
  trajectoryAt(plan.knee, phase, state.work, 0);
  says[HAND.knee] = state.work[0];
  trajectoryAt(plan.ankle, phase, state.work, 0);
  says[HAND.ankle] = state.work[0];
}

/** Share of the way to where the latched phase is full, from the reference's own toe-off. */
export const handShare = ({ map }: HandSwing, thigh: number): number =>
  thighShare(thigh, map.referenceOn, map.full);

/** Where the recorded stride has this thigh on its way forward, share of the stride: toe-off further back, the peak further on. */
export function recordedPlace({ ownWay, ownPeak, plan }: HandSwing, thigh: number): number {
  const { stance } = plan.stride;
  if (thigh <= ownWay[0]) return stance;
  let k = 1;
  while (k < ownWay.length && ownWay[k] < thigh) k++;
  if (k === ownWay.length) return ownPeak;
  const part = (thigh - ownWay[k - 1]) / (ownWay[k] - ownWay[k - 1]);
  return stance + ((ownPeak - stance) * (k - 1 + part)) / (ownWay.length - 1);
}

/** Thigh, knee and ankle of the recorded stride at a place, rad. */
export function recordedPose(
  { plan: { own } }: HandSwing,
  place: number,
): { readonly thigh: number; readonly knee: number; readonly ankle: number } {
  const percent = 100 * place;
  return {
    thigh: curveAt(own.thigh, percent).value,
    knee: curveAt(own.knee, percent).value,
    ankle: curveAt(own.ankle, percent).value,
  };
}
