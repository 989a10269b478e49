import { type EnvelopeConditions, operation, sagSpeed } from './joint-envelope.ts';
import type { JointDrive } from './leg-drive.ts';
import { currentFor, torqueOf } from './motor-torque.ts';
import { lastInside, voltageRoom } from './operating-limit.ts';

/** How far inside the envelope a stride stays: limit ÷ need, the least over the stride, and where. */
export interface EnvelopeMargin {
  /** Motor torque at the speed of the instant. +∞ where none is asked. */
  readonly torque: number;
  readonly torqueIndex: number;
  /** Shaft speed at the torque of the instant; 0 where no current gives that torque. */
  readonly speed: number;
  readonly speedIndex: number;
  /** Share of the stride in which torque and speed together lie outside. */
  readonly outside: number;
}

/**
 * Margins of one joint over a stride against voltage, sag, current and pack: at every instant what the motor could give at that speed,
 * and how fast it could be with that torque, while the rest of the leg draws `otherPower`, W at each sample. Exact minimum: an instant
 * that is inside at the margin so far cannot be worse, and is passed over.
 */
export function envelopeMargin(
  drive: JointDrive,
  conditions: EnvelopeConditions,
  velocity: Float64Array,
  motorTorque: Float64Array,
  otherPower: Float64Array,
): EnvelopeMargin {
  const o = operation(drive, conditions);
  const { motor, largestCurrent: most } = o;
  const n = velocity.length;
  let torqueMargin = Number.POSITIVE_INFINITY;
  let speedMargin = Number.POSITIVE_INFINITY;
  let torqueIndex = 0;
  let speedIndex = 0;
  let outside = 0;
  const inside = (others: number, speed: number, sign: 1 | -1, current: number): boolean =>
    current <= most && voltageRoom(o, others, speed, sign * current, 0) >= 0;
  for (let i = 0; i < n; i++) {
    const others = otherPower[i];
    const speed = drive.transmission.ratio * Math.abs(velocity[i]);
    const need = Math.abs(motorTorque[i]);
    const sign = motorTorque[i] * velocity[i] < 0 ? -1 : 1;
    const current = currentFor(motor, need);
    if (!inside(others, speed, sign, current)) outside += (i === 0 || i === n - 1 ? 0.5 : 1) / (n - 1);
    if (need > 0 && !inside(others, speed, sign, currentFor(motor, torqueMargin * need))) {
      const largest = lastInside((q) => voltageRoom(o, others, speed, q, 0), 0, sign * most);
      // no current at all at this speed: nothing left of the torque
      const margin = Number.isNaN(largest) ? 0 : Math.abs(torqueOf(motor, largest)) / need;
      if (margin < torqueMargin) [torqueMargin, torqueIndex] = [margin, i];
    }
    if (speed > 0 && !inside(others, speedMargin * speed, sign, current)) {
      const fastest = current <= most ? sagSpeed(o, others, sign * current) : Number.NaN;
      const margin = Number.isNaN(fastest) ? 0 : fastest / speed;
      if (margin < speedMargin) [speedMargin, speedIndex] = [margin, i];
    }
  }
  return { torque: torqueMargin, torqueIndex, speed: speedMargin, speedIndex, outside };
}
