import { softwareGains } from '../control/software-gains.ts';
import { lostTorque } from '../control/tuning-burden.ts';
import type { JointTrajectory } from '../drive/drive-load.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { STRIDE_SAMPLES, type StrideDemand } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { stanceRow, stanceTorque } from '../walk/stance-table.ts';
import { stopTorque } from '../walk/stop-torque.ts';
import { LOG, LOG_WIDTH, type WalkLog } from '../walk/walk-log.ts';
import { stanceBurden } from './stance-burden.ts';
import type { StudyInput } from './study-input.ts';
import type { WalkPlan } from './walk-plan.ts';

/** What a drive adds to the torque that stance asks of it, as a share of the stride's own moment: told beforehand, and walked. */
export interface WalkBurden {
  readonly predicted: number;
  readonly walked: number;
  /** Whether the two are within BURDEN_WITHIN. */
  readonly agree: boolean;
}

/** Of the two, at most so far apart: absolute, and as a share of what was walked. Our own proposal. */
export const BURDEN_WITHIN = { absolute: 0.03, share: 0.25 } as const;

/**
 * Tuning burden of one joint, predicted on the stride that is walked and found in the rows of a walk from `from` on:
 *
 *     predicted   rms(τ_asked − τ_delivered)/rms(M) of `tuningBurden`: it asks M, the moment of the stride, of the stride's own motion
 *     walked      rms(τ_asked − τ_delivered)/rms(M) over all rows in stance, τ_asked by the stance at the very angle and rate
 *
 * Behind elastic gears with the angle measured at the rotor, what the drive adds, e = τ_asked − τ_delivered, does not go to the joint: it
 * turns the rotor by δ against the gears and against what software holds, and the joint misses what the gears then carry less,
 *
 *     J_r·δ̈ + B_s·δ̇ + (K_s + K_g)·δ = e,   predicted   rms(K_g·δ)/rms(M)
 *
 * from δ = δ̇ = 0 at contact. e is that of the rotor's own motion, θ_r = θ + M/K_g: where a spring is asked for that is nearly as stiff as the
 * gears, most of the joint's motion is theirs, and the rotor hardly turns.
 *
 * Both are the whole mismatch e_0, with gains taken as they are, and both over the stride's moment: a leg that strays from the stride asks
 * for less or more than it. What an end stop gives is not the drive's. Delay, filter, encoder steps, impacts and the straying are in the
 * second alone. Undefined without a stance to tell it of.
 */
export function walkBurden(
  input: StudyInput,
  { setup, stride, law, demand }: WalkPlan,
  { table, rows, period, strideTime }: WalkLog,
  joint: DrivenJoint,
  from: number,
): WalkBurden | undefined {
  const drive = input.leg.joints[joint]!;
  const told = stanceBurden(drive, demand, joint);
  if (told === undefined) return undefined;
  const j = joint === 'knee' ? 0 : 1;
  const steps = law[joint].stiffness.length - 1;
  // a row's phase is that of the command a period ago
  const ahead = period / (stride.stance * strideTime);
  const asks = stanceRow(law[joint]);
  let [lost2, count] = [0, 0];
  for (let row = from; row < rows; row++) {
    const at = row * LOG_WIDTH;
    if (table[at + LOG.mode] !== 0) continue;
    const place = steps * Math.min(1, table[at + LOG.phase] + ahead);
    const i = Math.min(steps - 1, Math.floor(place));
    const angle = table[at + LOG.knee + j];
    const rate = table[at + LOG.kneeRate + j];
    const asked = stanceTorque(asks, i, place - i, angle, rate);
    const delivered = table[at + LOG.kneeTorque + j] - stopTorque(setup[joint].stops, angle, rate);
    lost2 += (delivered - asked) ** 2;
    count++;
  }
  if (count === 0) return undefined;
  const predicted =
    setup[joint].encoderAt === 'joint'
      ? told.mismatch
      : behindGears(setup[joint], law[joint], demand, drive, joint) / told.asked;
  const walked = Math.sqrt(lost2 / count) / told.asked;
  const { absolute, share } = BURDEN_WITHIN;
  return { predicted, walked, agree: Math.abs(predicted - walked) <= absolute + share * walked };
}

/** Steps between two samples of the stride. Our choice: far below what the rotor swings in. */
const INNER = 32;

/** rms(K_g·δ) over stance, N·m, by backward Euler. */
function behindGears(
  { drive: { gearStiffness: kg, rotorInertia } }: WalkPlan['setup'][DrivenJoint],
  { stiffness, damping }: WalkPlan['law'][DrivenJoint],
  { joints, stance, strideTime }: StrideDemand,
  drive: JointDrive,
  joint: DrivenJoint,
): number {
  const last = STRIDE_SAMPLES - 1;
  const end = Math.floor(stance * last) + 1;
  const motion = joints[joint]!;
  const lost = lostTorque(drive, motion, 0, 0, end, rotorOf(motion, kg, strideTime / last));
  const h = strideTime / last / INNER;
  const steps = stiffness.length - 1;
  // a walk is not planned where the gears are softer than what stance asks
  const software = Array.from(
    stiffness,
    (k, i) =>
      softwareGains({ gearStiffness: kg, measuredAt: 'motor' }, { stiffness: k, damping: damping[i] })!,
  );
  let [turned, rate, sum] = [0, 0, 0];
  const count = (end - 1) * INNER;
  for (let n = 0; n < count; n++) {
    const k = Math.floor(n / INNER);
    const e = lost[k] + (n / INNER - k) * (lost[k + 1] - lost[k]);
    const held = software[Math.min(steps, Math.round((n / INNER / last / stance) * steps))];
    const spring = held.stiffness + kg;
    rate =
      (rate + (h * (e - spring * turned)) / rotorInertia) /
      (1 + (h * (held.damping + h * spring)) / rotorInertia);
    turned += h * rate;
    sum += (kg * turned) ** 2;
  }
  return Math.sqrt(sum / count);
}

/** Motion of the rotor behind gears that carry the moment: θ_r = θ + M/K_g, by central differences round the stride. */
function rotorOf({ velocity, acceleration, moment }: JointTrajectory, kg: number, dt: number) {
  const n = moment.length - 1;
  const at = (k: number): number => moment[((k % n) + n) % n] / kg;
  return {
    velocity: velocity.map((v, k) => v + (at(k + 1) - at(k - 1)) / (2 * dt)),
    acceleration: acceleration.map((a, k) => a + (at(k + 1) - 2 * at(k) + at(k - 1)) / (dt * dt)),
  };
}
