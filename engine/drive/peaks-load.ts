import type { Range } from '../gait/task.ts';
import { largestCurrent } from './largest-current.ts';
import type { JointDrive } from './leg-drive.ts';
import { torqueOf } from './motor-torque.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

/**
 * Limit ÷ need of a task of which only peaks are published, as ranges: `low` at the most it may ask, `high` at the least. No curve:
 * no heat, no energy, and no word on whether the peaks of torque and speed meet.
 */
export interface PeaksLoad {
  readonly torqueMargin?: Range;
  readonly speedMargin?: Range;
}

/** Joint torque at standstill while the motor drives, N·m:  N·η_f·(τ_m(i_max) − τ_c) − τ_c,out. */
export function drivenTorque(drive: JointDrive): number {
  const { motor, transmission: t } = drive;
  const shaft = torqueOf(motor, largestCurrent(drive));
  return t.ratio * t.drivingEfficiency * (shaft - motor.coulombDrag) - t.outputCoulomb;
}

/** Limit over the magnitudes of a range; a range that holds zero asks for nothing at its easy end. */
function margins(limit: number, asked: Range): Range {
  const [a, b] = [Math.abs(asked.low), Math.abs(asked.high)];
  const least = asked.low <= 0 && asked.high >= 0 ? 0 : Math.min(a, b);
  return { low: limit / Math.max(a, b), high: limit / least };
}

/**
 * Torque margin against what the joint delivers at standstill while the motor drives; speed margin against the unloaded limit of a
 * stiff bus. The rotor's own acceleration is in neither: only a curve could tell it.
 */
export function peaksLoad(
  drive: JointDrive,
  asked: { readonly moment?: Range; readonly speed?: Range },
  busVoltage: number,
): PeaksLoad {
  const { moment, speed } = asked;
  const unloaded =
    speedLimit(drive.motor, phaseVoltageLimit(busVoltage, drive), 0) / drive.transmission.ratio;
  return {
    ...(moment && { torqueMargin: margins(drivenTorque(drive), moment) }),
    ...(speed && { speedMargin: margins(unloaded, speed) }),
  };
}
