import {
  BEHAVIOUR,
  type CompiledController,
  DETECT,
  LIMIT,
  LIMITS,
  OWN_SAFE,
  WARN,
} from './compile-controller.ts';
import { SENSORS } from './controller.ts';
import { beginSwing, phaseTick, SWING, swingState, swingTick } from './swing-tick.ts';

const N = SENSORS.length;

/** Places of what is read: a Float64Array of `SENSORS.length`. */
export const INPUT = Object.fromEntries(SENSORS.map((name, i) => [name, i])) as {
  readonly [name in (typeof SENSORS)[number]]: number;
};

/** Places of what comes out, SI. `fault` and `warning` count from 1, 0: none. Limits as bits of LIMIT_BIT. */
export const OUTPUT = {
  kneeTorque: 0,
  ankleTorque: 1,
  /** 1: the phases of this joint are to be shorted. */
  kneeShorted: 2,
  ankleShorted: 3,
  state: 4,
  phase: 5,
  /** What the joint is led to; where nothing leads it, where it is. */
  kneeCommand: 6,
  ankleCommand: 7,
  fault: 8,
  warning: 9,
  kneeLimits: 10,
  ankleLimits: 11,
  /** Largest torque that heat and speed leave, N·m. */
  kneeMost: 12,
  ankleMost: 13,
} as const;
export const OUTPUTS = 14;

/** Which limits changed the torque. */
export const LIMIT_BIT = { torque: 1, speed: 2, heat: 4, slew: 8 } as const;

/** Places in the numbers of a controller's state. */
export const HELD = {
  /** Last good value of each sensor. */
  sensor: 0,
  kneeRate: N,
  ankleRate: N + 1,
  phase: N + 2,
  /** Joint angles as the present state began. */
  kneeStart: N + 3,
  ankleStart: N + 4,
  kneeTorque: N + 5,
  ankleTorque: N + 6,
  /** Thigh rate less the thigh's own change, filtered. */
  disagrees: N + 7,
} as const;
const NUMBERS = N + 8;

/** Places in the counts of a controller's state. */
export const COUNT = {
  state: 0,
  /** Ticks since it began. */
  dwell: 1,
  /** First fault that is latched, from 1. */
  fault: 2,
  /** Ticks in a row without a number. */
  missing: 3,
  /** Ticks in a row of the same number; −1: none has been read yet. */
  same: 3 + N,
  /** Ticks in a row of each watch, then whether it has fired, then ticks in a row of each transition. */
  watch: 3 + 2 * N,
} as const;

/** No sensor of a leg gives more, in any unit of ours: beyond it a reading is no number. Keeps what follows inside float32. */
const READABLE = 1e6;
/** Ticks that stand for "long enough for everything". */
const LONG = 1 << 30;

/** All that a controller remembers from tick to tick: plain numbers, so that a run can be stopped, kept and gone on with. */
export interface ControllerState {
  readonly numbers: Float64Array;
  readonly counts: Int32Array;
  /** As in SWING. */
  readonly swing: Float64Array;
}

/** A controller before its first tick: in its initial state, every dwell time over, nothing read yet. */
export function controllerState(of: CompiledController): ControllerState {
  const counts = new Int32Array(COUNT.watch + 2 * of.watches.length + of.target.length);
  counts[COUNT.state] = of.initial;
  counts[COUNT.dwell] = LONG;
  for (let i = 0; i < N; i++) counts[COUNT.same + i] = -1;
  return { numbers: new Float64Array(NUMBERS), counts, swing: swingState() };
}

/** Written anew before each use: nothing is allocated in a tick. */
const pose = { thigh: 0, knee: 0, kneeRate: 0, ankle: 0, ankleRate: 0 };

/** Begins a state: its clocks at zero, joint angles kept, the thigh latched where it has a map. */
function enter(
  of: CompiledController,
  { numbers: x, counts: n, swing }: ControllerState,
  state: number,
): void {
  n[COUNT.state] = state;
  n[COUNT.dwell] = 0;
  n.fill(0, COUNT.watch + 2 * of.watches.length);
  x[HELD.kneeStart] = x[INPUT.knee];
  x[HELD.ankleStart] = x[INPUT.ankle];
  const m = of.mapOf[state];
  if (m < 0) return;
  const { map, sign, pace } = of.maps[m];
  pose.thigh = sign * x[INPUT.thigh];
  pose.knee = x[INPUT.knee];
  pose.kneeRate = x[HELD.kneeRate];
  pose.ankle = x[INPUT.ankle];
  pose.ankleRate = x[HELD.ankleRate];
  beginSwing(map, swing, pose, pace);
}

/**
 * One tick: `inputs` as INPUT in, `outputs` as OUTPUT out, memory in `state`. Always in this order:
 *
 *     read → plausibility → faults → events → phase → trajectory → torque → limits → output
 *
 * A sensor that gives no number keeps its last one and counts as still; what is watched about it decides when that is too long.
 * Whatever is read, no output is ever NaN and no torque beyond its limit. Nothing is allocated.
 */
export function controllerTick(
  of: CompiledController,
  state: ControllerState,
  inputs: Float64Array,
  outputs: Float64Array,
): void {
  const { numbers: x, counts: n, swing } = state;
  const T = of.period;
  const a = of.filterPole;
  if (n[COUNT.dwell] < LONG) n[COUNT.dwell]++;

  // read
  const kneeRate = readJoint(x, n, inputs, INPUT.knee, T, of);
  const ankleRate = readJoint(x, n, inputs, INPUT.ankle, T, of);
  x[HELD.kneeRate] = a * x[HELD.kneeRate] + (1 - a) * kneeRate;
  x[HELD.ankleRate] = a * x[HELD.ankleRate] + (1 - a) * ankleRate;
  const thighStep = readJoint(x, n, inputs, INPUT.thigh, T, of);
  for (let i = 0; i < N; i++)
    if (i !== INPUT.knee && i !== INPUT.ankle && i !== INPUT.thigh) readSensor(x, n, inputs, i);
  x[HELD.disagrees] = a * x[HELD.disagrees] + (1 - a) * (x[INPUT.thighRate] - thighStep);

  // plausibility and faults
  const fired = watch(of, x, n);
  if (fired >= 0) enter(of, state, fired);
  else events(of, state);

  // phase and trajectory
  const now = n[COUNT.state];
  const m = of.mapOf[now];
  const kneeKind = of.kind[2 * now];
  const ankleKind = of.kind[2 * now + 1];
  let place = 0;
  if (m >= 0) {
    const { map, sign, scale } = of.maps[m];
    const seen = n[COUNT.missing + INPUT.thigh] === 0 && n[COUNT.missing + INPUT.thighRate] === 0;
    const thigh = seen ? sign * x[INPUT.thigh] : Number.NaN;
    const rate = sign * x[INPUT.thighRate];
    if (kneeKind === BEHAVIOUR.thigh || ankleKind === BEHAVIOUR.thigh) swingTick(map, swing, thigh, rate, T);
    else phaseTick(map, swing, thigh, rate, T);
    x[HELD.phase] = swing[SWING.phase];
    place = swing[SWING.phase] * scale;
  }

  // torque, limits, output
  outputs[OUTPUT.state] = now;
  outputs[OUTPUT.phase] = x[HELD.phase];
  outputs[OUTPUT.fault] = n[COUNT.fault];
  outputs[OUTPUT.warning] = firstWarning(of, n);
  joint(of, state, outputs, 0, place);
  joint(of, state, outputs, 1, place);
}

/** Reads one sensor: a number is kept, no number leaves the last. True where there is one. */
function readSensor(x: Float64Array, n: Int32Array, inputs: Float64Array, i: number): boolean {
  const raw = inputs[i];
  if (!(Math.abs(raw) <= READABLE)) {
    n[COUNT.missing + i]++;
    return false;
  }
  n[COUNT.missing + i] = 0;
  n[COUNT.same + i] = n[COUNT.same + i] >= 0 && raw === x[i] ? n[COUNT.same + i] + 1 : 0;
  x[i] = raw;
  return true;
}

/**
 * Reads one angle and gives its change over the period, rad/s; 0 where there was or is no number, and for a step that a watch calls a
 * jump, which is counted by that watch.
 */
function readJoint(
  x: Float64Array,
  n: Int32Array,
  inputs: Float64Array,
  i: number,
  T: number,
  of: CompiledController,
): number {
  const before = x[i];
  const gap = n[COUNT.missing + i];
  const known = n[COUNT.same + i] >= 0;
  const good = readSensor(x, n, inputs, i);
  let step = good && known ? x[i] - before : 0;
  for (let w = 0; w < of.watchKind.length; w++) {
    if (of.watchKind[w] !== DETECT.jump || of.watchSensor[w] !== i) continue;
    const jumped = Math.abs(step) > of.watchLimit[w] * (gap + 1);
    n[COUNT.watch + w] = jumped ? 1 : 0;
    if (jumped) step = 0;
  }
  return gap > 0 ? 0 : step / T;
}

/** Counts what is wrong; the state that a fault leads to, −1 where none does. The first in the list goes first. */
function watch(of: CompiledController, x: Float64Array, n: Int32Array): number {
  const count = of.watches.length;
  const fired = COUNT.watch + count;
  let leadsTo = -1;
  for (let w = 0; w < count; w++) {
    const i = of.watchSensor[w];
    const kind = of.watchKind[w];
    const at = COUNT.watch + w;
    if (kind === DETECT.missing) n[at] = n[COUNT.missing + i];
    else if (kind === DETECT.stuck) n[at] = Math.max(0, n[COUNT.same + i]);
    else if (kind === DETECT.outside) n[at] = x[i] < of.watchLow[w] || x[i] > of.watchHigh[w] ? n[at] + 1 : 0;
    else if (kind === DETECT.disagrees)
      n[at] = Math.abs(x[HELD.disagrees]) > of.watchLimit[w] ? n[at] + 1 : 0;
    const bad = n[at] >= of.watchTicks[w];
    const to = of.watchTo[w];
    if (to === WARN) {
      n[fired + w] = bad ? 1 : 0;
      continue;
    }
    if (!bad || n[fired + w] === 1) continue;
    n[fired + w] = 1;
    if (n[COUNT.fault] === 0) n[COUNT.fault] = w + 1;
    const target = to === OWN_SAFE ? of.safeOf[n[COUNT.state]] : to;
    if (leadsTo < 0) leadsTo = target;
  }
  return leadsTo;
}

/** The first watch that warns just now, from 1; 0: none. */
function firstWarning(of: CompiledController, n: Int32Array): number {
  const fired = COUNT.watch + of.watches.length;
  for (let w = 0; w < of.watches.length; w++) if (of.watchTo[w] === WARN && n[fired + w] === 1) return w + 1;
  return 0;
}

/** The first transition that is due is taken. Leaving a safe state for one that is not clears what was latched. */
function events(of: CompiledController, state: ControllerState): void {
  const { numbers: x, counts: n } = state;
  const from = n[COUNT.state];
  const base = COUNT.watch + 2 * of.watches.length;
  let due = -1;
  for (let j = of.first[from]; j < of.first[from + 1]; j++) {
    let holds = true;
    for (let c = of.conditionFirst[j]; c < of.conditionFirst[j + 1]; c++) {
      const value = signal(x, of.signal[c]);
      if (!(value > of.low[c] && value < of.high[c])) holds = false;
    }
    n[base + j] = holds ? n[base + j] + 1 : 0;
    if (due < 0 && n[base + j] >= of.hold[j] && n[COUNT.dwell] >= of.after[j]) due = j;
  }
  if (due < 0) return;
  const to = of.target[due];
  if (of.safeOf[from] < 0 && of.safeOf[to] >= 0) {
    n[COUNT.fault] = 0;
    n.fill(0, COUNT.watch + of.watches.length, base);
  }
  enter(of, state, to);
}

/** A signal by its place in SIGNALS. */
function signal(x: Float64Array, which: number): number {
  switch (which) {
    case 0:
      return x[INPUT.load];
    case 1:
      return x[INPUT.thigh];
    case 2:
      return x[INPUT.thighRate];
    case 3:
      return x[INPUT.knee];
    case 4:
      return x[HELD.kneeRate];
    case 5:
      return x[INPUT.ankle];
    case 6:
      return x[HELD.phase];
    default:
      return x[INPUT.release];
  }
}

/** Torque of one joint (0 knee, 1 ankle) and its limits. `place`: in the stance schedule. */
function joint(
  of: CompiledController,
  { numbers: x, counts: n, swing }: ControllerState,
  outputs: Float64Array,
  j: number,
  place: number,
): void {
  const at = 2 * n[COUNT.state] + j;
  const angle = x[j === 0 ? INPUT.knee : INPUT.ankle];
  const rate = x[HELD.kneeRate + j];
  const kind = of.kind[at];
  const l = j * LIMITS;
  let command = angle;
  let torque = 0;
  if (kind === BEHAVIOUR.spring) {
    command = of.equilibrium[at];
    const step = of.approach[at];
    if (step > 0) {
      const start = x[HELD.kneeStart + j];
      const way = step * n[COUNT.dwell];
      if (command > start + way) command = start + way;
      else if (command < start - way) command = start - way;
    }
    torque = of.stiffness[at] * (command - angle) - of.damping[at] * rate;
  } else if (kind === BEHAVIOUR.thigh) {
    command = swing[j === 0 ? SWING.knee : SWING.ankle];
    const commandRate = swing[j === 0 ? SWING.kneeRate : SWING.ankleRate];
    torque = of.stiffness[at] * (command - angle) + of.damping[at] * (commandRate - rate);
  } else if (kind === BEHAVIOUR.schedule) torque = scheduled(of, of.scheduleOf[at], place, angle, rate);

  // limits, in this order
  let acts = 0;
  const full = of.limits[l + LIMIT.torque];
  const margin = of.limits[l + LIMIT.margin];
  const upper = full * share((of.limits[l + LIMIT.to] - angle) / margin);
  const lower = -full * share((angle - of.limits[l + LIMIT.from]) / margin);
  if (torque > upper) {
    torque = upper;
    acts = LIMIT_BIT.torque;
  } else if (torque < lower) {
    torque = lower;
    acts = LIMIT_BIT.torque;
  }
  const speed = of.limits[l + LIMIT.speed];
  const bySpeed =
    torque * rate > 0 ? share((speed - Math.abs(rate)) / (speed - of.limits[l + LIMIT.fadeSpeed])) : 1;
  if (Math.abs(torque) > full * bySpeed) {
    torque = Math.sign(torque) * full * bySpeed;
    acts |= LIMIT_BIT.speed;
  }
  const hot = of.limits[l + LIMIT.hot];
  const winding = x[j === 0 ? INPUT.kneeWinding : INPUT.ankleWinding];
  const byHeat = share((hot - winding) / (hot - of.limits[l + LIMIT.warm]));
  if (Math.abs(torque) > full * byHeat) {
    torque = Math.sign(torque) * full * byHeat;
    acts |= LIMIT_BIT.heat;
  }
  const step = of.limits[l + LIMIT.slewStep];
  const before = x[HELD.kneeTorque + j];
  if (torque > before + step) {
    torque = before + step;
    acts |= LIMIT_BIT.slew;
  } else if (torque < before - step) {
    torque = before - step;
    acts |= LIMIT_BIT.slew;
  }
  const shorted = kind === BEHAVIOUR.shorted;
  if (shorted) torque = 0;
  x[HELD.kneeTorque + j] = torque;
  outputs[OUTPUT.kneeTorque + j] = torque;
  outputs[OUTPUT.kneeShorted + j] = shorted ? 1 : 0;
  outputs[OUTPUT.kneeCommand + j] = command;
  outputs[OUTPUT.kneeLimits + j] = acts;
  outputs[OUTPUT.kneeMost + j] = full * Math.min(bySpeed, byHeat);
}

/** 0 … 1. */
const share = (x: number): number => (x < 0 ? 0 : Math.min(x, 1));

/** τ = c − K·θ − B·θ̇, each joined by straight lines between the points of the schedule. */
function scheduled(
  of: CompiledController,
  schedule: number,
  place: number,
  angle: number,
  rate: number,
): number {
  const first = of.scheduleFirst[schedule];
  const last = of.scheduleFirst[schedule + 1] - 1;
  let k = first;
  while (k < last - 1 && of.at[k + 1] <= place) k++;
  const u = share((place - of.at[k]) / (of.at[k + 1] - of.at[k]));
  const K = of.scheduleStiffness[k] + u * (of.scheduleStiffness[k + 1] - of.scheduleStiffness[k]);
  const c = of.scheduleOffset[k] + u * (of.scheduleOffset[k + 1] - of.scheduleOffset[k]);
  const B = of.scheduleDamping[k] + u * (of.scheduleDamping[k + 1] - of.scheduleDamping[k]);
  return c - K * angle - B * rate;
}
