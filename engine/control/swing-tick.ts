import { softSaturation, softSaturationSlope } from './soft-saturation.ts';
import { blendOffset, blendOffsetSlope } from './swing-blend.ts';
import type { SwingMap } from './swing-map.ts';
import { LEAST_THIGH_RANGE, playPhase } from './thigh-play.ts';
import { trajectoryAt } from './trajectory.ts';

/** Places in the state of swing. Phases are shares of the stride, angles rad, rates per second. */
export const SWING = {
  phase: 0,
  phaseRate: 1,
  knee: 2,
  kneeRate: 3,
  ankle: 4,
  ankleRate: 5,
  /**
   * 0: in order; 1: the thigh's angle or rate is no number in this tick; 2, until the next toe-off: the foot left the ground with
   * a pose that is no number, or the thigh with too short a way to go.
   */
  fault: 6,
  /** Phase of the play, 0 … 1. */
  play: 7,
  /** Thigh latched at toe-off. */
  on: 8,
  /** Stride phase of the finish; 0 while the thigh leads. */
  finish: 9,
  kneeOffset: 10,
  kneeOffsetSlope: 11,
  ankleOffset: 12,
  ankleOffsetSlope: 13,
  /** N·m that the leg's own weight and inertia ask for on its planned way; 0 without a torque in the map, and while the phase has a fault. */
  kneeTorque: 14,
  ankleTorque: 15,
  /** From here on room to work in. */
  work: 16,
} as const;

/** A state before its first swing. */
export const swingState = (): Float64Array => new Float64Array(22);

/** Pose of the leg as its foot leaves the ground, rad and rad/s. */
export interface ToeOffPose {
  readonly thigh: number;
  readonly knee: number;
  readonly kneeRate: number;
  readonly ankle: number;
  readonly ankleRate: number;
}

/**
 * Toe-off: latches the thigh and takes up the pose, so that the command begins where the leg is.
 *
 *     e_0 = q − q_ref(s_0),   d_0 = (q̇ − q̇_ref)/ṡ·Δs,   ṡ at the reference's own pace
 *
 * Fault 2, and a phase that stays, where the thigh has less than 15° to go: a first step from standing, a leg lifted from sitting.
 * Fault 2 as well where the pose is no number; the command is then the trajectory's own at toe-off.
 */
export function beginSwing(map: SwingMap, state: Float64Array, pose: ToeOffPose, pace: number): void {
  state.fill(0);
  state[SWING.phase] = map.toeOff;
  trajectoryAt(map.knee, map.toeOff, state, SWING.work);
  state[SWING.knee] = state[SWING.work];
  state[SWING.kneeOffset] = pose.knee - state[SWING.work];
  state[SWING.kneeOffsetSlope] = (pose.kneeRate / pace - state[SWING.work + 1]) * map.blend;
  trajectoryAt(map.ankle, map.toeOff, state, SWING.work);
  state[SWING.ankle] = state[SWING.work];
  state[SWING.ankleOffset] = pose.ankle - state[SWING.work];
  state[SWING.ankleOffsetSlope] = (pose.ankleRate / pace - state[SWING.work + 1]) * map.blend;
  const sum =
    pose.thigh +
    state[SWING.kneeOffset] +
    state[SWING.kneeOffsetSlope] +
    state[SWING.ankleOffset] +
    state[SWING.ankleOffsetSlope];
  if (!Number.isFinite(sum)) {
    state[SWING.fault] = 2;
    state.fill(0, SWING.on, SWING.work);
    return;
  }
  state[SWING.on] = pose.thigh;
  state[SWING.knee] = pose.knee;
  state[SWING.ankle] = pose.ankle;
  if (map.peak - pose.thigh < LEAST_THIGH_RANGE) state[SWING.fault] = 2;
}

/**
 * One tick of the phase: thigh angle, rad, and rate, rad/s, in; phase and its rate into `state`. False where they stay: an input that
 * is no number, or fault 2. Nothing is allocated.
 *
 *     r = (θ − θ_on)/(θ_full − θ_on),  u ← play(u, r),  s → S(u),   once u = 1 and the finish is on: s → s + dt/T up to 1
 *     |ṡ| ≤ 3/s
 *
 * ṡ comes from the gyro while the play's edge moves with the thigh, and is 0 inside the play. A thigh that goes back far enough takes
 * the phase back, out of the finish as well.
 */
export function phaseTick(
  map: SwingMap,
  state: Float64Array,
  thigh: number,
  rate: number,
  dt: number,
): boolean {
  const before = state[SWING.phase];
  const readable = Number.isFinite(thigh) && Number.isFinite(rate);
  if (!readable || state[SWING.fault] === 2) {
    if (state[SWING.fault] !== 2) state[SWING.fault] = 1;
    state[SWING.phaseRate] = 0;
    return false;
  }
  state[SWING.fault] = 0;
  const way = map.full - state[SWING.on];
  const share = (thigh - state[SWING.on]) / way;
  const u = playPhase(state[SWING.play], share, map.play);
  state[SWING.play] = u;

  // S(u) and S′(u) of the even table
  const steps = map.phase.length - 1;
  const i = u >= 1 ? steps - 1 : Math.floor(u * steps);
  const b = u * steps - i;
  const a = 1 - b;
  const h = 1 / steps;
  const y0 = map.phase[i];
  const y1 = map.phase[i + 1];
  const m0 = map.bend[i];
  const m1 = map.bend[i + 1];
  let target = a * y0 + b * y1 + (((a * a * a - a) * m0 + (b * b * b - b) * m1) * h * h) / 6;
  const slope = (y1 - y0) / h + (((3 * b * b - 1) * m1 - (3 * a * a - 1) * m0) * h) / 6;
  let phaseRate = 0;
  if (u < 1 && u > 0 && (rate > 0 ? u === share : u === share + map.play)) phaseRate = (slope * rate) / way;

  if (u >= 1 && map.finishRate > 0) {
    const finish = state[SWING.finish] > 0 ? state[SWING.finish] + map.finishRate * dt : before;
    state[SWING.finish] = finish;
    target = softSaturation(finish, map.corner);
    phaseRate = map.finishRate * softSaturationSlope(finish, map.corner);
  } else state[SWING.finish] = 0;

  const most = map.fastest * dt;
  let phase = target;
  if (target > before + most) {
    phase = before + most;
    phaseRate = map.fastest;
  } else if (target < before - most) {
    phase = before - most;
    phaseRate = -map.fastest;
  }
  state[SWING.phase] = phase;
  state[SWING.phaseRate] = phaseRate;
  return true;
}

/**
 * One tick of swing: the phase as in `phaseTick`, then joint angles and their rates, all in `state`. Nothing is allocated.
 *
 *     q = q_ref(s) + e(s),   q̇ = (q_ref′ + e′)·ṡ
 *
 * The joint's speed is a reference for its damper, not a difference of angles. Where the phase stays the rates are 0 and the fault is
 * shown.
 */
export function swingTick(map: SwingMap, state: Float64Array, thigh: number, rate: number, dt: number): void {
  if (!phaseTick(map, state, thigh, rate, dt)) {
    state[SWING.kneeRate] = 0;
    state[SWING.ankleRate] = 0;
    state[SWING.kneeTorque] = 0;
    state[SWING.ankleTorque] = 0;
    return;
  }
  const phase = state[SWING.phase];
  const phaseRate = state[SWING.phaseRate];
  const part = (phase - map.toeOff) / map.blend;
  let e0 = state[SWING.kneeOffset];
  let d0 = state[SWING.kneeOffsetSlope];
  trajectoryAt(map.knee, phase, state, SWING.work);
  state[SWING.knee] = state[SWING.work] + blendOffset(e0, d0, 0, part);
  state[SWING.kneeRate] = (state[SWING.work + 1] + blendOffsetSlope(e0, d0, 0, part) / map.blend) * phaseRate;
  e0 = state[SWING.ankleOffset];
  d0 = state[SWING.ankleOffsetSlope];
  trajectoryAt(map.ankle, phase, state, SWING.work);
  state[SWING.ankle] = state[SWING.work] + blendOffset(e0, d0, 0, part);
  state[SWING.ankleRate] =
    (state[SWING.work + 1] + blendOffsetSlope(e0, d0, 0, part) / map.blend) * phaseRate;
  if (map.torque === undefined) return;
  const { kneeHeld, kneeMoved, ankleHeld, ankleMoved, fastest } = map.torque;
  const pace = Math.min(Math.abs(phaseRate), fastest);
  const square = pace * pace;
  trajectoryAt(kneeHeld, phase, state, SWING.work);
  state[SWING.kneeTorque] = state[SWING.work];
  trajectoryAt(kneeMoved, phase, state, SWING.work);
  state[SWING.kneeTorque] += square * state[SWING.work];
  trajectoryAt(ankleHeld, phase, state, SWING.work);
  state[SWING.ankleTorque] = state[SWING.work];
  trajectoryAt(ankleMoved, phase, state, SWING.work);
  state[SWING.ankleTorque] += square * state[SWING.work];
}
