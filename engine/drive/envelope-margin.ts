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
  let torque = Number.POSITIVE_INFINITY;
  let speed = Number.POSITIVE_INFINITY;
  let torqueIndex = 0;
  let speedIndex = 0;
  let outside = 0;
  const signOf = (i: number): 1 | -1 => (motorTorque[i] * velocity[i] < 0 ? -1 : 1);
  const shaftSpeed = (i: number): number => drive.transmission.ratio * Math.abs(velocity[i]);
  const inside = (i: number, at: number, current: number): boolean =>
    current <= most && voltageRoom(o, otherPower[i], at, signOf(i) * current, 0) >= 0;
  const judge = (i: number): void => {
    const need = Math.abs(motorTorque[i]);
    const at = shaftSpeed(i);
    const current = currentFor(motor, need);
    if (need > 0 && !inside(i, at, currentFor(motor, torque * need))) {
      const largest = lastInside((q) => voltageRoom(o, otherPower[i], at, q, 0), 0, signOf(i) * most);
      // no current at all at this speed: nothing left of the torque
      const margin = Number.isNaN(largest) ? 0 : Math.abs(torqueOf(motor, largest)) / need;
      if (margin < torque) [torque, torqueIndex] = [margin, i];
    }
    if (at > 0 && !inside(i, speed * at, current)) {
      const fastest = current <= most ? sagSpeed(o, otherPower[i], signOf(i) * current) : Number.NaN;
      const margin = Number.isNaN(fastest) ? 0 : fastest / at;
      if (margin < speed) [speed, speedIndex] = [margin, i];
    }
  };
  // most likely the worst, so that hardly any other instant has to be searched
  judge(largestIndex(motorTorque));
  judge(largestIndex(velocity));
  for (let i = 0; i < n; i++) {
    judge(i);
    if (!inside(i, shaftSpeed(i), currentFor(motor, Math.abs(motorTorque[i]))))
      outside += (i === 0 || i === n - 1 ? 0.5 : 1) / (n - 1);
  }
  return { torque, torqueIndex, speed, speedIndex, outside };
}

function largestIndex(curve: Float64Array): number {
  let index = 0;
  for (let i = 1; i < curve.length; i++) if (Math.abs(curve[i]) > Math.abs(curve[index])) index = i;
  return index;
}
