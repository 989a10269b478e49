import type { Motor } from './leg-drive.ts';
import { currentFor } from './motor-torque.ts';
import { speedLimit } from './voltage-limit.ts';

/** Largest shaft speed in the direction of motion at one instant's torque; unloaded where the torque is not known. NaN beyond reach. */
export function fastestAt(motor: Motor, voltage: number, torque: number, velocity: number): number {
  if (Number.isNaN(torque)) return speedLimit(motor, voltage, 0);
  // q current that drives in the direction of motion is positive for the voltage circle
  const current = currentFor(motor, torque);
  return speedLimit(motor, voltage, velocity < 0 ? -current : current);
}

/** What rounding may do to a speed limit, and far more: instants this close to being passed over are looked at. */
const ROUNDING = 1e-9;

/**
 * Least of limit ÷ need over a stride, and where first:  min ω(i)/(N·|θ̇|), 0 where the torque asked has no speed at all.
 *
 * Most instants need not be looked at. The limit falls with the current that drives and is higher where the joint brakes, so that
 * nowhere is it below ω_low, the limit at the strongest torque driving. One instant taken as a bound, the fastest of the stride with
 * margin m, passes over all with ω_low/(N·|θ̇|) > m. What is left is the plain search, to the last digit.
 *
 * `strongest`: largest |τ_m| that is known, 0 without any. `fastest`: index of the largest |θ̇|.
 */
export function speedMargin(
  motor: Motor,
  voltage: number,
  ratio: number,
  velocity: Float64Array,
  motorTorque: Float64Array,
  { strongest, fastest }: { readonly strongest: number; readonly fastest: number },
): { readonly margin: number; readonly index: number } {
  const lowest = fastestAt(motor, voltage, strongest, 1);
  const bound = roomAt(motor, voltage, ratio, velocity[fastest], motorTorque[fastest]);
  // below this joint speed an instant has more room than the bound; NaN, and none is passed over, where ω_low is out of reach
  const slow = (lowest * (1 - ROUNDING)) / (bound * ratio);
  let margin = Number.POSITIVE_INFINITY;
  let index = 0;
  for (let i = 0; i < velocity.length; i++) {
    if (Math.abs(velocity[i]) < slow) continue;
    const room = roomAt(motor, voltage, ratio, velocity[i], motorTorque[i]);
    if (room < margin) {
      margin = room;
      index = i;
    }
  }
  return { margin, index };
}

/** Limit ÷ need at one instant. Beyond saturation there is no current and so no speed: no margin at all. */
function roomAt(motor: Motor, voltage: number, ratio: number, velocity: number, torque: number): number {
  const limit = fastestAt(motor, voltage, torque, velocity);
  const need = ratio * Math.abs(velocity);
  return Number.isNaN(limit) ? 0 : need === 0 ? Number.POSITIVE_INFINITY : limit / need;
}
