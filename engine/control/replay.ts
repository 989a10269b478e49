import type { CompiledController } from './compile-controller.ts';
import { SENSORS } from './controller.ts';
import { type ControllerState, controllerState, OUTPUT, OUTPUTS } from './controller-memory.ts';
import { controllerTick } from './controller-tick.ts';

/** Up to here two runs of one controller are the same: float32 against double. N·m, and a share of it; share of the stride; m/s; rad. */
export const SAME = { torque: 1e-3, torqueShare: 1e-5, phase: 1e-6, speed: 1e-5, slope: 1e-6 } as const;

/** What a leg's controller read and did, tick by tick. NaN where it read no number. */
export interface ControllerLog {
  /** Rows of SENSORS. */
  readonly readings: Float64Array;
  /** Rows of torque at knee and ankle, N·m. */
  readonly torque: Float64Array;
  readonly phase: Float64Array;
  /** Numbers of states, by the log's own list of names; faults and warnings from 1. */
  readonly state: Int32Array;
  readonly fault: Int32Array;
  /** m/s that it went by; left out: not in the log. */
  readonly speed?: Float64Array;
  /** rad of slope that it went by; left out: not in the log. */
  readonly slope?: Float64Array;
  readonly states: readonly string[];
}

/** A log with all that came out. */
export interface RecordedLog extends ControllerLog {
  readonly warning: Int32Array;
  readonly speed: Float64Array;
  readonly speedStatus: Int32Array;
  readonly slope: Float64Array;
  readonly slopeStatus: Int32Array;
}

/** What was and what would be, at one tick. */
export interface Difference {
  readonly tick: number;
  /** s from the log's first tick. */
  readonly time: number;
  readonly what: 'state' | 'fault' | 'phase' | 'speed' | 'slope' | 'knee torque' | 'ankle torque';
  readonly was: string;
  readonly is: string;
}

/** A log run again. */
export interface Replay {
  readonly ticks: number;
  readonly first?: Difference;
  /** Ticks in which each differs. */
  readonly differ: { readonly [what in Difference['what']]: number };
  /** Largest difference: N·m at knee and ankle, share of the stride, m/s, rad; NaN where the log has no speed or no slope. */
  readonly torque: readonly [number, number];
  readonly phase: number;
  readonly speed: number;
  readonly slope: number;
}

/**
 * Runs a controller over what a leg has read and compares torque, state and phase with what happened then. Where the log begins in
 * the middle of something the controller begins in its initial state, and differs until both have come to the same.
 */
export function replayLog(of: CompiledController, log: ControllerLog): Replay {
  const n = SENSORS.length;
  const ticks = log.phase.length;
  const state: ControllerState = controllerState(of);
  const out = new Float64Array(OUTPUTS);
  const differ = { state: 0, fault: 0, phase: 0, speed: 0, slope: 0, 'knee torque': 0, 'ankle torque': 0 };
  const torque: [number, number] = [0, 0];
  let phase = 0;
  let speed = log.speed === undefined ? Number.NaN : 0;
  let slope = log.slope === undefined ? Number.NaN : 0;
  let first: Difference | undefined;
  const stateThere = log.states.map((name) => of.states.indexOf(name));
  for (let k = 0; k < ticks; k++) {
    controllerTick(of, state, log.readings.subarray(k * n, (k + 1) * n), out);
    const note = (what: Difference['what'], was: string, is: string): void => {
      differ[what]++;
      first ??= { tick: k, time: k * of.period, what, was, is };
    };
    if (out[OUTPUT.state] !== stateThere[log.state[k]])
      note('state', log.states[log.state[k]] ?? `number ${log.state[k]}`, of.states[out[OUTPUT.state]]);
    if (out[OUTPUT.fault] !== log.fault[k])
      note('fault', faultName(of, log.fault[k]), faultName(of, out[OUTPUT.fault]));
    const off = Math.abs(out[OUTPUT.phase] - log.phase[k]);
    phase = Math.max(phase, off);
    if (!(off <= SAME.phase)) note('phase', log.phase[k].toFixed(6), out[OUTPUT.phase].toFixed(6));
    if (log.speed !== undefined) {
      const was = log.speed[k];
      const is = out[OUTPUT.speed];
      speed = Math.max(speed, Math.abs(is - was));
      if (!(Math.abs(is - was) <= SAME.speed)) note('speed', `${was.toFixed(4)} m/s`, `${is.toFixed(4)} m/s`);
    }
    if (log.slope !== undefined) {
      const was = log.slope[k];
      const is = out[OUTPUT.slope];
      slope = Math.max(slope, Math.abs(is - was));
      if (!(Math.abs(is - was) <= SAME.slope)) note('slope', degrees(was), degrees(is));
    }
    for (const j of [0, 1] as const) {
      const was = log.torque[2 * k + j];
      const is = out[OUTPUT.kneeTorque + j];
      torque[j] = Math.max(torque[j], Math.abs(is - was));
      if (!(Math.abs(is - was) <= SAME.torque + SAME.torqueShare * Math.abs(was)))
        note(j === 0 ? 'knee torque' : 'ankle torque', `${was.toFixed(3)} N·m`, `${is.toFixed(3)} N·m`);
    }
  }
  return { ticks, ...(first !== undefined && { first }), differ, torque, phase, speed, slope };
}

const degrees = (x: number): string => `${((180 / Math.PI) * x).toFixed(4)}°`;

const faultName = (of: CompiledController, k: number): string =>
  k === 0 ? 'none' : (of.watches[k - 1] ?? `number ${k}`);

/** Runs a controller over readings and writes down what it did: what firmware and other versions are compared with. */
export function recordLog(of: CompiledController, readings: Float64Array): RecordedLog {
  const n = SENSORS.length;
  const ticks = readings.length / n;
  const state = controllerState(of);
  const out = new Float64Array(OUTPUTS);
  const log = {
    readings,
    torque: new Float64Array(2 * ticks),
    phase: new Float64Array(ticks),
    state: new Int32Array(ticks),
    fault: new Int32Array(ticks),
    warning: new Int32Array(ticks),
    speed: new Float64Array(ticks),
    speedStatus: new Int32Array(ticks),
    slope: new Float64Array(ticks),
    slopeStatus: new Int32Array(ticks),
    states: of.states,
  };
  for (let k = 0; k < ticks; k++) {
    controllerTick(of, state, readings.subarray(k * n, (k + 1) * n), out);
    log.torque[2 * k] = out[OUTPUT.kneeTorque];
    log.torque[2 * k + 1] = out[OUTPUT.ankleTorque];
    log.phase[k] = out[OUTPUT.phase];
    log.state[k] = out[OUTPUT.state];
    log.fault[k] = out[OUTPUT.fault];
    log.warning[k] = out[OUTPUT.warning];
    log.speed[k] = out[OUTPUT.speed];
    log.speedStatus[k] = out[OUTPUT.speedStatus];
    log.slope[k] = out[OUTPUT.slope];
    log.slopeStatus[k] = out[OUTPUT.slopeStatus];
  }
  return log;
}
