import { type CompiledController, DETECT, OWN_SAFE, WARN } from './compile-controller.ts';
import { COUNT, HELD, INPUT, LONG } from './controller-memory.ts';

/** No sensor of a leg gives more, in any unit of ours: beyond it a reading is no number. Keeps what follows inside float32. */
const READABLE = 1e6;

const TURN = 2 * Math.PI;

/** Reads one sensor: a number is kept, no number leaves the last. True where there is one. */
export function readSensor(x: Float64Array, n: Int32Array, inputs: Float64Array, i: number): boolean {
  const raw = inputs[i];
  if (!(Math.abs(raw) <= READABLE)) {
    if (n[COUNT.missing + i] < LONG) n[COUNT.missing + i]++;
    return false;
  }
  n[COUNT.missing + i] = 0;
  n[COUNT.same + i] = n[COUNT.same + i] >= 0 && raw === x[i] ? Math.min(n[COUNT.same + i] + 1, LONG) : 0;
  x[i] = raw;
  return true;
}

/**
 * Reads one angle and gives its change over the period, rad/s; 0 where there was or is no number, and for a step that a watch calls a
 * jump, which is counted by that watch.
 */
export function readJoint(
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
  for (let k = 0; k < of.jumps.length; k++) {
    const w = of.jumps[k];
    if (of.watchSensor[w] !== i) continue;
    const jumped = Math.abs(step) > of.watchLimit[w] * (gap + 1);
    n[COUNT.watch + w] = jumped ? 1 : 0;
    if (jumped) step = 0;
  }
  return gap > 0 ? 0 : step / T;
}

/** Share of one contact in what is smoothed over strides: nine tenths of an error are in it after ten contacts. Our choice. */
const ONE_CONTACT = 0.2;

/**
 * A slow error of the thigh's angle, rad: a bias that drifts, a socket that slips. Looked at as a swing ends in stance, with the map of the
 * speed that has just been latched.
 *
 *     d ← d + (θ_c − θ_ref − d)/5      θ_c: thigh at contact; θ_ref: thigh of the map at contact
 *
 * Of a constant error e, e·(1 − 0.8ⁿ) is in d after n contacts. Quiet standing, the initial state, sets d to 0. A thigh that gives no number
 * at contact leaves d. A stride that is shorter or steeper than its map, or a stumble, is in it too. `slope`: what the map was turned by for
 * a slope that the leg read, rad; it is taken off, since a thigh that has turned reads as a slope and would hide itself.
 */
export function contactWanders(
  of: CompiledController,
  x: Float64Array,
  n: Int32Array,
  from: number,
  to: number,
  slope: number,
): void {
  x[HELD.lean] = Number.NaN;
  if (to === of.initial) x[HELD.wanders] = 0;
  const swung = of.mapOf[from];
  const stands = of.mapOf[to];
  if (swung < 0 || stands < 0 || of.maps[swung].sign < 0 || of.maps[stands].sign > 0) return;
  if (n[COUNT.missing + INPUT.thigh] > 0) return;
  const { map, sign } = of.maps[stands];
  x[HELD.lean] = x[INPUT.thigh] - (sign * map.referenceOn - slope);
  x[HELD.wanders] += ONE_CONTACT * (x[HELD.lean] - x[HELD.wanders]);
}

/** Counts what is wrong; the state that a fault leads to, −1 where none does. The first in the list goes first. */
export function watchSensors(of: CompiledController, x: Float64Array, n: Int32Array): number {
  const count = of.watches.length;
  const fired = COUNT.watch + count;
  let leadsTo = -1;
  for (let w = 0; w < count; w++) {
    const i = of.watchSensor[w];
    const kind = of.watchKind[w];
    const at = COUNT.watch + w;
    if (kind === DETECT.missing) n[at] = n[COUNT.missing + i];
    else if (kind === DETECT.stuck) n[at] = Math.max(0, n[COUNT.same + i]);
    else if (kind === DETECT.outside)
      n[at] = x[i] < of.watchLow[w] || x[i] > of.watchHigh[w] ? Math.min(n[at] + 1, LONG) : 0;
    else if (kind === DETECT.disagrees) {
      const apart = i === INPUT.thighRate ? Math.abs(x[HELD.disagrees]) : encodersApart(of, x, n, i);
      n[at] = apart > of.watchLimit[w] ? Math.min(n[at] + 1, LONG) : 0;
    } else if (kind === DETECT.wanders)
      n[at] = Math.abs(x[HELD.wanders]) > of.watchLimit[w] ? Math.min(n[at] + 1, LONG) : 0;
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

/**
 * By how much the two encoders of a joint differ beyond what its gears may wind up, rad; 0 while either gives no number.
 *
 *     |θ₂ − θ − 2π·n| − τ_w/(η_b·K_g),   τ_w ← max(|τ|, e^(−T/τ_u)·τ_w)
 *
 * n: whole turns nearest to it; τ: torque asked in each period; K_g, η_b: stiffness of the gears, and efficiency driven by the joint; τ_u: time in which they unwind, `unwinds` of a
 * drive, since a torque that is taken off faster leaves the rotor still to swing back.
 *
 * Not told apart: which of the two is wrong, and an error of a whole turn.
 */
export function encodersApart(
  of: CompiledController,
  x: Float64Array,
  n: Int32Array,
  second: number,
): number {
  const j = second - INPUT.kneeSecond;
  const own = INPUT.knee + j;
  if (n[COUNT.missing + own] > 0 || n[COUNT.missing + second] > 0) return 0;
  return Math.abs(toNearest(x[second] - x[own])) - of.windUp[j] * x[HELD.kneeWound + j];
}

/** An angle without its whole turns, rad. */
const toNearest = (angle: number): number => angle - TURN * Math.round(angle / TURN);

/**
 * Angle of a joint behind its gears, rad: by the second encoder, without whole turns between the two; without one, where the first sits before
 * the gears, less what they wind up:
 *
 *     θ = θ₁ − τ/K_g     τ: torque asked in the last period, K_g: stiffness of the gears
 */
export function jointSide(of: CompiledController, x: Float64Array, n: Int32Array, j: number): number {
  const own = x[INPUT.knee + j];
  const second = INPUT.kneeSecond + j;
  if (n[COUNT.missing + second] > 0 || n[COUNT.same + second] < 0)
    return own - of.ahead[j] * x[HELD.kneeTorque + j];
  const turns = Math.round((x[second] - own) / TURN);
  return turns === 0 ? x[second] : x[second] - TURN * turns;
}

/** The first watch that warns just now, from 1; 0: none. */
export function firstWarning(of: CompiledController, n: Int32Array): number {
  const fired = COUNT.watch + of.watches.length;
  for (let k = 0; k < of.warns.length; k++) if (n[fired + of.warns[k]] === 1) return of.warns[k] + 1;
  return 0;
}
