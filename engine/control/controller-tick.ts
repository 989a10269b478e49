import { BEHAVIOUR, type CompiledController } from './compile-controller.ts';
import { COUNT, type ControllerState, HELD, INPUT, LONG, N, OUTPUT } from './controller-memory.ts';
import { jointCommand } from './joint-command.ts';
import { SPEED, speedStatus } from './speed-memory.ts';
import { latchSpeed, speedTick } from './speed-tick.ts';
import { beginSwing, phaseTick, SWING, swingTick } from './swing-tick.ts';
import { contactWanders, firstWarning, readJoint, readSensor, watchSensors } from './watch-sensors.ts';

/** Written anew before each use: nothing is allocated in a tick. */
const pose = { thigh: 0, knee: 0, kneeRate: 0, ankle: 0, ankleRate: 0 };

/** Begins a state: its clocks at zero, joint angles kept, the thigh latched where it has a map. */
export function enterState(of: CompiledController, memory: ControllerState, state: number): void {
  const { numbers: x, counts: n, swing } = memory;
  const from = n[COUNT.state];
  n[COUNT.state] = state;
  n[COUNT.dwell] = 0;
  n.fill(0, COUNT.watch + 2 * of.watches.length);
  x[HELD.kneeStart] = x[INPUT.knee];
  x[HELD.ankleStart] = x[INPUT.ankle];
  if (memory.speed !== undefined) latchSpeed(of, memory);
  contactWanders(
    of,
    x,
    n,
    from,
    state,
    memory.speed === undefined ? 0 : memory.speed.own[SPEED.latchedSlope],
  );
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
 *     read → speed → plausibility → faults → events → phase → trajectory → torque → limits → output
 *
 * A sensor that gives no number keeps its last one and counts as still; what is watched about it decides when that is too long.
 * Whatever is read, no output is ever NaN and no torque beyond its limit. Nothing is allocated.
 */
export function controllerTick(
  compiled: CompiledController,
  state: ControllerState,
  inputs: Float64Array,
  outputs: Float64Array,
): void {
  const { numbers: x, counts: n, swing, speed } = state;
  const of = speed === undefined ? compiled : speed.live;
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

  if (speed !== undefined) speedTick(of, state);

  // plausibility and faults
  const fired = watchSensors(of, x, n);
  if (fired >= 0) enterState(of, state, fired);
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
  outputs[OUTPUT.speed] = speed === undefined ? 0 : speed.own[SPEED.used];
  outputs[OUTPUT.speedStatus] = speed === undefined ? 0 : speedStatus(of, speed);
  outputs[OUTPUT.slope] = speed === undefined ? 0 : speed.own[SPEED.slope];
  outputs[OUTPUT.slopeStatus] = speed === undefined ? 0 : speed.own[SPEED.slopeStatus];
  jointCommand(of, state, outputs, 0, place);
  jointCommand(of, state, outputs, 1, place);
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
    n[base + j] = holds ? Math.min(n[base + j] + 1, LONG) : 0;
    if (due < 0 && n[base + j] >= of.hold[j] && n[COUNT.dwell] >= of.after[j]) due = j;
  }
  if (due < 0) return;
  const to = of.target[due];
  if (of.safeOf[from] < 0 && of.safeOf[to] >= 0) {
    n[COUNT.fault] = 0;
    n.fill(0, COUNT.watch + of.watches.length, base);
  }
  enterState(of, state, to);
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
