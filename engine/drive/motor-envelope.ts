import type { EnvelopePoint } from './joint-envelope.ts';
import { largestCurrent } from './largest-current.ts';
import type { JointDrive } from './leg-drive.ts';
import { torqueOf } from './motor-torque.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

const STEPS = 48;

/**
 * What the motor can give against its own speed, shaft side: speed in rad/s and torque in N·m, both as magnitudes.
 *
 *     driving:  τ(i) at ω(i) on the voltage circle       braking:  τ(i) at ω(−i), the current against the motion
 *
 * i from `largestCurrent` down to zero; each list begins at standstill. The limits of
 * `driveLoad`: a loop of motor torque and speed touches this line where its margin is one. Points that no speed reaches
 * (R·i > V) are left out. Cold motor, stiff bus. It does not change with the ratio.
 */
export function motorEnvelope(
  drive: JointDrive,
  busVoltage: number,
): { readonly driving: readonly EnvelopePoint[]; readonly braking: readonly EnvelopePoint[] } {
  const { motor } = drive;
  const most = largestCurrent(drive);
  const voltage = phaseVoltageLimit(busVoltage, drive);
  const along = (sign: 1 | -1): EnvelopePoint[] => {
    const points: EnvelopePoint[] = [{ speed: 0, torque: torqueOf(motor, most) }];
    for (let k = STEPS; k >= 0; k--) {
      const current = (most * k) / STEPS;
      const speed = speedLimit(motor, voltage, sign * current);
      if (!Number.isNaN(speed)) points.push({ speed, torque: torqueOf(motor, current) });
    }
    return points;
  };
  return { driving: along(1), braking: along(-1) };
}
