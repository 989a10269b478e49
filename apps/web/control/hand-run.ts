import {
  demonstratedThigh,
  followHand,
  HAND,
  HAND_THIGH,
  type HandState,
  type HandSwing,
  HOLD,
  handShare,
  handState,
  handTick,
  holdState,
  holdTick,
  liftFoot,
  type PassMeter,
  passMeter,
  passTick,
  recordedPlace,
  recordedPose,
  type SwingDemonstration,
  swingDemonstration,
} from '@striderule/engine';

/** s that the strip shows, and between two of its samples. */
export const STRIP_SECONDS = 6;
export const STRIP_STEP = 0.02;
const SAMPLES = Math.round(STRIP_SECONDS / STRIP_STEP) + 1;
/** s that are made up for after a late frame; what is beyond, as while the page was hidden, did not happen. Our choice. */
const LATEST = 0.25;
/** s of a hold that counts as one; shorter is a turn of the hand. Our choice. */
const COUNTS = 0.5;

/** One curve of the strip, rad or share of the stride, oldest first; no number where there is none. */
export interface Strip {
  readonly thigh: Float64Array;
  /** What the controller hears of it. */
  readonly heard: Float64Array;
  readonly phase: Float64Array;
  readonly knee: Float64Array;
  readonly ankle: Float64Array;
  readonly ownKnee: Float64Array;
  readonly ownAnkle: Float64Array;
}
const CURVES = ['thigh', 'heard', 'phase', 'knee', 'ankle', 'ownKnee', 'ownAnkle'] as const;

/** A hold that has ended or goes on: s, share of the stride. */
export interface HeldThigh {
  readonly time: number;
  readonly drift: number;
  /** Whether the swing finished by itself meanwhile. */
  readonly finished: boolean;
}

/** The leg in somebody's hand: what leads it, what the controller says, and what has been seen of both. */
export interface HandRun {
  readonly of: HandSwing;
  readonly state: HandState;
  /** As named by HAND_THIGH. */
  readonly thigh: Float64Array;
  /** Where the hand wants it, rad. */
  target: number;
  plugged: boolean;
  readonly hold: Float64Array;
  held: HeldThigh | undefined;
  readonly pass: PassMeter;
  readonly strip: Strip;
  /** s since the demonstration began, while it plays. */
  shown: { readonly demo: SwingDemonstration; clock: number } | undefined;
  /** Place of the stride, where a known one leads; no number by hand. */
  place: number;
  /** Whether anything has led it yet. */
  touched: boolean;
  carry: number;
  ticks: number;
  finished: boolean;
}

export function handRun(of: HandSwing): HandRun {
  const state = handState(of);
  const thigh = new Float64Array(2);
  const target = of.ownWay[0] ?? Number.NaN;
  thigh[HAND_THIGH.angle] = target;
  const curve = () => new Float64Array(SAMPLES).fill(Number.NaN);
  return {
    ...{ of, state, thigh, target, plugged: true, held: undefined },
    hold: holdState(),
    pass: passMeter(),
    strip: {
      ...{ thigh: curve(), heard: curve(), phase: curve(), knee: curve(), ankle: curve() },
      ...{ ownKnee: curve(), ownAnkle: curve() },
    },
    ...{ shown: undefined, place: Number.NaN, touched: false, carry: 0, ticks: 0, finished: false },
  };
}

const angleOf = ({ thigh }: HandRun): number => thigh[HAND_THIGH.angle] ?? Number.NaN;
const phaseOf = ({ state }: HandRun): number => state.says[HAND.phase] ?? Number.NaN;

/** Where the recorded stride is now: by its place where it leads, else by the thigh's angle on the way forward. */
export const placeNow = (run: HandRun): number =>
  Number.isNaN(run.place) ? recordedPlace(run.of, angleOf(run)) : run.place;

export const recordedNow = (run: HandRun): ReturnType<typeof recordedPose> =>
  recordedPose(run.of, placeNow(run));

function tick(run: HandRun): void {
  const { of, state, thigh, shown } = run;
  if (shown === undefined) followHand(thigh, run.target, of.dt);
  else {
    const now = demonstratedThigh(of, shown.demo, shown.clock);
    thigh[HAND_THIGH.angle] = now.thigh;
    thigh[HAND_THIGH.rate] = now.rate;
    run.place = now.place;
    shown.clock += of.dt;
    if (shown.clock >= shown.demo.lasts) endDemonstration(run);
  }
  const [angle, rate] = [angleOf(run), thigh[HAND_THIGH.rate] ?? Number.NaN];
  const [heard, heardRate] = run.plugged ? [angle, rate] : [Number.NaN, Number.NaN];
  handTick(of, state, heard, heardRate, run.place);
  const phase = phaseOf(run);
  const before = run.hold[HOLD.time] ?? 0;
  holdTick(run.hold, phase, rate, of.dt);
  if ((run.hold[HOLD.time] ?? 0) < before) run.finished = false;
  run.finished ||= finishing(run) && (run.hold[HOLD.time] ?? 0) > 0;
  if ((run.hold[HOLD.time] ?? 0) >= COUNTS)
    run.held = {
      time: run.hold[HOLD.time] ?? 0,
      drift: run.hold[HOLD.drift] ?? 0,
      finished: run.finished,
    };
  passTick(run.pass, handShare(of, heard), phase, of.dt);
  run.ticks++;
  if (run.ticks % Math.round(STRIP_STEP / of.dt) === 0) note(run, heard);
}

/** Whether the phase runs by time, where the thigh leads no more. */
export const finishing = ({ of, state, place }: HandRun): boolean =>
  of.method === 'latch' &&
  of.map.finishRate > 0 &&
  !(place < of.plan.stride.stance) &&
  state.says[HAND.fault] === 0 &&
  (state.says[HAND.phase] ?? 0) >= of.map.fullPhase;

function note(run: HandRun, heard: number): void {
  const own = recordedNow(run);
  const { says } = run.state;
  const now = {
    ...{
      thigh: angleOf(run),
      heard,
      phase: says[HAND.phase],
      knee: says[HAND.knee],
      ankle: says[HAND.ankle],
    },
    ...{ ownKnee: own.knee, ownAnkle: own.ankle },
  };
  for (const name of CURVES) {
    const curve = run.strip[name];
    curve.copyWithin(0, 1);
    curve[SAMPLES - 1] = now[name] ?? Number.NaN;
  }
}

/** Lets the time go on: whole ticks, the rest is carried. Returns how many there were. */
export function advance(run: HandRun, seconds: number): number {
  run.carry += Math.min(seconds, LATEST);
  const ticks = Math.floor(run.carry / run.of.dt + 1e-9);
  run.carry -= ticks * run.of.dt;
  for (let k = 0; k < ticks; k++) tick(run);
  return ticks;
}

/** Takes the thigh by hand, out of a demonstration too. */
export function lead(run: HandRun, target: number): void {
  if (run.shown !== undefined) endDemonstration(run);
  run.target = target;
  run.touched = true;
}

function endDemonstration(run: HandRun): void {
  run.shown = undefined;
  run.place = Number.NaN;
  run.target = angleOf(run);
}

/** Plays the recorded stride from its toe-off, with a hold half way. */
export function demonstrate(run: HandRun): void {
  Object.assign(run, handRun(run.of), { strip: run.strip, plugged: run.plugged, ticks: run.ticks });
  run.shown = { demo: swingDemonstration(run.of), clock: 0 };
  run.touched = true;
}

/** The foot set down and lifted with the thigh where it is; what the sensor does not say is not latched. */
export function lift(run: HandRun): void {
  if (run.shown !== undefined) endDemonstration(run);
  liftFoot(run.of, run.state, run.plugged ? angleOf(run) : Number.NaN);
}

/** Whether nothing has moved for as long as the strip is: then no frame need be drawn. */
export function rests(run: HandRun): boolean {
  if (run.shown !== undefined || Math.abs(run.target - angleOf(run)) > 1e-6) return false;
  const flat = (curve: Float64Array): boolean => {
    const last = curve[SAMPLES - 1] ?? Number.NaN;
    return curve.every((value) => Object.is(value, last) || Math.abs(value - last) < 1e-5);
  };
  return CURVES.every((name) => flat(run.strip[name]));
}
