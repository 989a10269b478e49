import type { JointDrive, Motor, Transmission } from './leg-drive.ts';
import { runningDrag } from './motor-torque.ts';
import { type PhaseShort, shortTorque } from './shorted-phases.ts';

/** Torque that moves the joint one way, N·m, at each angle: mean and largest over one period of the cogging. */
export interface BackDriveWay {
  readonly mean: Float64Array;
  readonly max: Float64Array;
}

/** Back-driving over the joint's range, both ends included. */
export interface BackDriveOverAngle {
  /** rad */
  readonly angle: Float64Array;
  readonly flexion: BackDriveWay;
  readonly extension: BackDriveWay;
  /** Joint angle of one period of the cogging, rad; NaN where its order is not known. */
  readonly coggingPeriod: number;
}

/** Cogging phases at each angle; our choice. */
const PHASES = 24;

/**
 * What a hand must bring to move the joint at each angle, N·m: at `speed` 0 what just starts it, above that what keeps it moving.
 *
 *     T = τ_s − A ± A·sin φ                                    to start: breakaway holds the cogging A already
 *     T = τ_c ± A·sin φ + b·N·q̇ + τ_short(N·q̇)                 moving
 *     τ = N·T/η_b (T ≥ 0) or N·T·η_f (T < 0, it runs to its notch by itself), + output friction, ± spring
 *
 * φ runs once round at every angle: a cogging period is a fraction of a degree at the joint, so that a hand that moves it by half a
 * degree meets the largest everywhere. Powered with zero current is the same as open: cogging and drag stay, and nothing is braked.
 * Without known cogging mean and largest are one. A model has no unlike directions but for a spring: those are for the bench.
 */
export function backDriveOverAngle(
  drive: JointDrive,
  short: PhaseShort,
  speed: number,
  angles: number,
): BackDriveOverAngle {
  const { motor, transmission: t, parallelSpring: spring, range } = drive;
  const shaft =
    speed === 0
      ? motor.breakawayDrag - (motor.cogging?.amplitude ?? 0)
      : runningDrag(motor, t.ratio * speed) +
        (short === 'open' ? 0 : shortTorque(motor, t.ratio * speed, short));
  const output = speed === 0 ? t.outputBreakaway : t.outputCoulomb + t.outputViscous * speed;
  const amplitude = motor.cogging?.amplitude ?? 0;
  let mean = 0;
  let max = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < PHASES; k++) {
    const torque = shaft + amplitude * Math.sin((2 * Math.PI * k) / PHASES);
    const joint = t.ratio * (torque >= 0 ? torque / t.backDrivenEfficiency : torque * t.drivingEfficiency);
    mean += joint / PHASES;
    max = Math.max(max, joint);
  }
  const angle = Float64Array.from(
    { length: angles },
    (_, i) => range.from + (i / (angles - 1)) * (range.to - range.from),
  );
  const against = (a: number): number =>
    spring !== undefined && a >= spring.engaged.from && a <= spring.engaged.to
      ? spring.stiffness * (a - spring.equilibrium)
      : 0;
  const way = (sign: 1 | -1): BackDriveWay => ({
    mean: angle.map((a) => mean + output + sign * against(a)),
    max: angle.map((a) => max + output + sign * against(a)),
  });
  return {
    angle,
    flexion: way(1),
    extension: way(-1),
    coggingPeriod: motor.cogging === undefined ? Number.NaN : (2 * Math.PI) / motor.cogging.order / t.ratio,
  };
}

/** Motor torque that just starts the unloaded joint from the motor's side, N·m on the shaft:  τ_s + τ_s,out/(N·η_f). */
export const motorBreakaway = (motor: Motor, t: Transmission): number =>
  motor.breakawayDrag + t.outputBreakaway / (t.ratio * t.drivingEfficiency);
