import type { JointDrive } from './leg-drive.ts';
import { runningDrag, torqueOf } from './motor-torque.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

/** One corner of what a joint can do: steady joint speed, rad/s, and the torque it delivers there, N·m. */
export interface EnvelopePoint {
  readonly speed: number;
  readonly torque: number;
}

const STEPS = 48;

/**
 * Torque a joint can deliver while it drives, against joint speed, from standstill to no load.
 *
 *     θ̇(i) = ω(i)/N on the voltage circle,   τ(i) = N·η_f·(τ_m(i) − τ_c − b·N·θ̇) − τ_c,out − b_out·θ̇
 *
 * i from the allowed peak current (the smaller of motor and electronics) down to zero; the first point is standstill at full current.
 * Steady: the rotor's own acceleration is not in it. Cold motor, stiff bus. Ends where no torque is left.
 * The same circle and mesh as `driveLoad`; see docs/drive.md.
 */
export function jointEnvelope(drive: JointDrive, busVoltage: number): EnvelopePoint[] {
  const { motor, transmission: t } = drive;
  const most = Math.min(drive.currentLimit, motor.peakCurrent);
  const voltage = phaseVoltageLimit(busVoltage, drive);
  const delivered = (current: number, speed: number): number =>
    t.ratio * t.drivingEfficiency * (torqueOf(motor, current) - runningDrag(motor, t.ratio * speed)) -
    t.outputCoulomb -
    t.outputViscous * speed;
  const points: EnvelopePoint[] = [{ speed: 0, torque: delivered(most, 0) }];
  for (let k = STEPS; k >= 0; k--) {
    const current = (most * k) / STEPS;
    const speed = speedLimit(motor, voltage, current) / t.ratio;
    if (Number.isNaN(speed)) continue;
    const torque = delivered(current, speed);
    if (torque < 0) break;
    points.push({ speed, torque });
  }
  return points;
}
