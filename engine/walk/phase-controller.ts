import type { SwingMap } from '../control/swing-map.ts';
import { beginSwing, SWING, swingState, swingTick } from '../control/swing-tick.ts';
import { midSwing } from './mid-swing.ts';
import { type StanceTable, stanceRow, stanceTorque } from './stance-table.ts';
import { COMMAND, MEASURED, type WalkController } from './walk-controller.ts';

/** What a leg is told before it walks. */
export interface PhaseControl {
  /** s */
  readonly period: number;
  readonly strideTime: number;
  /** Share of the stride. */
  readonly stance: number;
  /** Of wearer and leg, N. */
  readonly weight: number;
  readonly knee: StanceTable;
  readonly ankle: StanceTable;
  readonly swing: SwingMap;
  /** Spring and damper that follow the swing's angles, N·m/rad and N·m·s/rad. */
  readonly swingGains: {
    readonly [joint in 'knee' | 'ankle']: { readonly stiffness: number; readonly damping: number };
  };
}

/**
 * Load that begins stance and that ends it, shares of body weight; how long either must last, and least times in each, s; what overrides the
 * least swing. Our own proposal.
 */
export const LOADED = 0.08;
export const UNLOADED = 0.04;
export const LASTS = 5e-3;
export const LEAST_STANCE = 0.1;
const LEAST_SWING = 0.15;
const STUMBLE = 0.4;
/** Unloaded for so long, a leg swings wherever its thigh is, s. Our own proposal: else a leading step stays in stance for ever. */
const UNLOADED_FOR = 0.3;
/** The thigh must be no further forward than at toe-off by this, rad, for a swing to begin. Our own proposal. */
const BEHIND = (10 * Math.PI) / 180;

/** Places of what a controller goes by and what it remembers, numbers in a row: those that change would cost an object each elsewhere. */
const ROW = {
  /** 0 stance, 1 swing; s in it, and without load; periods in which what ends it has lasted. */
  mode: 0,
  time: 1,
  unloaded: 2,
  lasted: 3,
  /** s; periods. */
  period: 4,
  lasts: 5,
  /** Of a stance, s. */
  stance: 6,
  /** N: what begins stance, ends it, and overrides the least swing. */
  onAbove: 7,
  offBelow: 8,
  stumble: 9,
  /** rad */
  behind: 10,
  kneeStiffness: 11,
  kneeDamping: 12,
  ankleStiffness: 13,
  ankleDamping: 14,
  /** Of the reference, 1/s. */
  pace: 15,
} as const;

/** All that a controller holds. */
interface Held {
  readonly row: Float64Array;
  readonly knee: Float64Array;
  readonly ankle: Float64Array;
  readonly swing: SwingMap;
  readonly state: Float64Array;
}

/** Written anew before each use. */
const pose = { thigh: 0, knee: 0, kneeRate: 0, ankle: 0, ankleRate: 0 };

const clockTick = (() => {
  // in a scope of its own, as in `walkTick`
  const AT = ROW;
  const SENSED = MEASURED;
  const TOLD = COMMAND;
  const LED = SWING;
  const [leastStance, leastSwing, unloadedFor] = [LEAST_STANCE, LEAST_SWING, UNLOADED_FOR];

  function clockTick(held: Held, m: Float64Array, command: Float64Array): void {
    const { row } = held;
    row[AT.time] += row[AT.period];
    if (row[AT.mode] === 1) afterSwing(row, m[SENSED.load]);
    else afterStance(held, row, m);
    command[TOLD.mode] = row[AT.mode];
    if (row[AT.mode] === 0) stance(held, row, m, command);
    else swing(held, row, m, command);
  }

  function afterSwing(row: Float64Array, load: number): void {
    row[AT.lasted] = load > row[AT.onAbove] ? row[AT.lasted] + 1 : 0;
    const lands = row[AT.lasted] >= row[AT.lasts] && row[AT.time] >= leastSwing;
    if (!lands && !(load > row[AT.stumble])) return;
    row[AT.mode] = 0;
    row[AT.time] = 0;
    row[AT.lasted] = 0;
  }

  function afterStance({ swing, state }: Held, row: Float64Array, m: Float64Array): void {
    row[AT.unloaded] = m[SENSED.load] < row[AT.offBelow] ? row[AT.unloaded] + row[AT.period] : 0;
    const leaves = row[AT.unloaded] > 0 && m[SENSED.thigh] <= row[AT.behind];
    row[AT.lasted] = leaves ? row[AT.lasted] + 1 : 0;
    const lifted = row[AT.lasted] >= row[AT.lasts] && row[AT.time] >= leastStance;
    if (!lifted && row[AT.unloaded] < unloadedFor) return;
    row[AT.mode] = 1;
    row[AT.time] = 0;
    row[AT.lasted] = 0;
    row[AT.unloaded] = 0;
    pose.thigh = m[SENSED.thigh];
    pose.knee = m[SENSED.knee];
    pose.kneeRate = m[SENSED.kneeRate];
    pose.ankle = m[SENSED.ankle];
    pose.ankleRate = m[SENSED.ankleRate];
    beginSwing(swing, state, pose, row[AT.pace]);
  }

  function stance({ knee, ankle }: Held, row: Float64Array, m: Float64Array, command: Float64Array): void {
    const s = Math.min(1, row[AT.time] / row[AT.stance]);
    const steps = knee.length / 3 - 1;
    const place = s * steps;
    const i = Math.min(steps - 1, Math.floor(place));
    const w = place - i;
    command[TOLD.phase] = s;
    command[TOLD.knee] = stanceTorque(knee, i, w, m[SENSED.knee], m[SENSED.kneeRate]);
    command[TOLD.ankle] = stanceTorque(ankle, i, w, m[SENSED.ankle], m[SENSED.ankleRate]);
    command[TOLD.kneeTarget] = Number.NaN;
    command[TOLD.ankleTarget] = Number.NaN;
    command[TOLD.fault] = 0;
  }

  function swing({ swing, state }: Held, row: Float64Array, m: Float64Array, command: Float64Array): void {
    swingTick(swing, state, m[SENSED.thigh], m[SENSED.thighRate], row[AT.period]);
    command[TOLD.phase] = state[LED.phase];
    command[TOLD.kneeTarget] = state[LED.knee];
    command[TOLD.ankleTarget] = state[LED.ankle];
    command[TOLD.knee] =
      row[AT.kneeStiffness] * (state[LED.knee] - m[SENSED.knee]) +
      row[AT.kneeDamping] * (state[LED.kneeRate] - m[SENSED.kneeRate]);
    command[TOLD.ankle] =
      row[AT.ankleStiffness] * (state[LED.ankle] - m[SENSED.ankle]) +
      row[AT.ankleDamping] * (state[LED.ankleRate] - m[SENSED.ankleRate]);
    command[TOLD.fault] = state[LED.fault];
  }

  return clockTick;
})();

/**
 * Stance by phase of time since contact, swing by the thigh:
 *
 *     stance   s = t/(stance·T) ≤ 1,   τ = −K(s)·θ + c(s) − B(s)·θ̇
 *     swing    τ = K·(θ*(s) − θ) + B·(θ̇*(s) − θ̇),   s, θ*, θ̇* of `swingTick`
 *
 * Load on beyond 8 % of body weight and off below 4 %, each for 5 ms. A clock paces stance: it walks at one cadence and does not stop. It
 * stands where a whole state machine will stand; it knows no faults.
 */
export function phaseController(of: PhaseControl): WalkController {
  const { period, strideTime, weight, swing, swingGains } = of;
  const row = new Float64Array(Object.keys(ROW).length);
  row[ROW.mode] = 1;
  row[ROW.period] = period;
  row[ROW.lasts] = Math.max(1, Math.round(LASTS / period));
  row[ROW.stance] = of.stance * strideTime;
  row[ROW.onAbove] = LOADED * weight;
  row[ROW.offBelow] = UNLOADED * weight;
  row[ROW.stumble] = STUMBLE * weight;
  row[ROW.behind] = swing.referenceOn + BEHIND;
  row[ROW.kneeStiffness] = swingGains.knee.stiffness;
  row[ROW.kneeDamping] = swingGains.knee.damping;
  row[ROW.ankleStiffness] = swingGains.ankle.stiffness;
  row[ROW.ankleDamping] = swingGains.ankle.damping;
  row[ROW.pace] = 1 / strideTime;
  const held = { row, knee: stanceRow(of.knee), ankle: stanceRow(of.ankle), swing, state: swingState() };
  return {
    begin: (m, phase) => {
      midSwing(swing, held.state, m, phase, row[ROW.pace]);
      row[ROW.time] = LEAST_SWING;
    },
    tick: (m, command) => clockTick(held, m, command),
  };
}
