import type { SwingMap } from '../control/swing-map.ts';
import { beginSwing, SWING, swingState, swingTick } from '../control/swing-tick.ts';
import { midSwing } from './mid-swing.ts';
import { COMMAND, MEASURED, type WalkController } from './walk-controller.ts';

/** A stance as K(s), c(s), B(s) at even steps of its phase, 0 at contact and 1 at toe-off: N·m/rad, N·m, N·m·s/rad. */
export interface StanceTable {
  readonly stiffness: Float64Array;
  readonly offset: Float64Array;
  readonly damping: Float64Array;
}

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
  const { period, weight, swing } = of;
  const steps = of.knee.stiffness.length - 1;
  const lasts = Math.max(1, Math.round(LASTS / period));
  const state = swingState();
  let mode = 1;
  let count = 0;
  /** s in this mode, and without load: numbers that change each tick cost an object each where they do not stand in a row. */
  const time = new Float64Array(1);
  const unloaded = new Float64Array(1);

  function toSwing(m: Float64Array): void {
    mode = 1;
    time[0] = 0;
    count = 0;
    unloaded[0] = 0;
    beginSwing(
      swing,
      state,
      {
        thigh: m[MEASURED.thigh],
        knee: m[MEASURED.knee],
        kneeRate: m[MEASURED.kneeRate],
        ankle: m[MEASURED.ankle],
        ankleRate: m[MEASURED.ankleRate],
      },
      1 / of.strideTime,
    );
  }

  return {
    begin: (m, phase) => {
      midSwing(swing, state, m, phase, 1 / of.strideTime);
      time[0] = LEAST_SWING;
    },
    tick: (m, command) => {
      const load = m[MEASURED.load];
      time[0] += period;
      if (mode === 1) {
        count = load > LOADED * weight ? count + 1 : 0;
        if ((count >= lasts && time[0] >= LEAST_SWING) || load > STUMBLE * weight) {
          mode = 0;
          time[0] = 0;
          count = 0;
        }
      } else {
        unloaded[0] = load < UNLOADED * weight ? unloaded[0] + period : 0;
        count = unloaded[0] > 0 && m[MEASURED.thigh] <= swing.referenceOn + BEHIND ? count + 1 : 0;
        if ((count >= lasts && time[0] >= LEAST_STANCE) || unloaded[0] >= UNLOADED_FOR) toSwing(m);
      }
      command[COMMAND.mode] = mode;
      if (mode === 0) {
        const s = Math.min(1, time[0] / (of.stance * of.strideTime));
        const place = s * steps;
        const i = Math.min(steps - 1, Math.floor(place));
        const w = place - i;
        command[COMMAND.phase] = s;
        command[COMMAND.knee] = stanceTorque(of.knee, i, w, m[MEASURED.knee], m[MEASURED.kneeRate]);
        command[COMMAND.ankle] = stanceTorque(of.ankle, i, w, m[MEASURED.ankle], m[MEASURED.ankleRate]);
        command[COMMAND.kneeTarget] = Number.NaN;
        command[COMMAND.ankleTarget] = Number.NaN;
        command[COMMAND.fault] = 0;
        return;
      }
      swingTick(swing, state, m[MEASURED.thigh], m[MEASURED.thighRate], period);
      const { knee, ankle } = of.swingGains;
      command[COMMAND.phase] = state[SWING.phase];
      command[COMMAND.kneeTarget] = state[SWING.knee];
      command[COMMAND.ankleTarget] = state[SWING.ankle];
      command[COMMAND.knee] =
        knee.stiffness * (state[SWING.knee] - m[MEASURED.knee]) +
        knee.damping * (state[SWING.kneeRate] - m[MEASURED.kneeRate]);
      command[COMMAND.ankle] =
        ankle.stiffness * (state[SWING.ankle] - m[MEASURED.ankle]) +
        ankle.damping * (state[SWING.ankleRate] - m[MEASURED.ankleRate]);
      command[COMMAND.fault] = state[SWING.fault];
    },
  };
}

/** τ = −K·θ + c − B·θ̇ at the share `w` between step `i` of a stance's table and the next. */
export function stanceTorque(
  table: StanceTable,
  i: number,
  w: number,
  angle: number,
  velocity: number,
): number {
  const { stiffness: K, offset: c, damping: B } = table;
  return -between(K, i, w) * angle + between(c, i, w) - between(B, i, w) * velocity;
}

const between = (y: Float64Array, i: number, w: number): number => y[i] + w * (y[i + 1] - y[i]);
