import type { Supply } from './battery.ts';
import type { Bridge } from './inverter-loss.ts';
import { largestCurrent } from './largest-current.ts';
import type { JointDrive } from './leg-drive.ts';
import { runningDrag, torqueOf } from './motor-torque.ts';
import { lastInside, type Operation, voltageRoom, weakenedRoom } from './operating-limit.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';
import { type MotorTemperatures, warmMotor } from './warm-motor.ts';

/** One corner of what a joint can do: steady joint speed, rad/s, and the torque there, N·m, both as magnitudes. */
export interface EnvelopePoint {
  readonly speed: number;
  readonly torque: number;
}

/** What bounds a joint, from standstill at full current on. */
export interface JointEnvelope {
  /** Delivered while the motor drives, down to where no torque is left. */
  readonly driving: readonly EnvelopePoint[];
  /** Withstood while the joint drives the motor, down to no current: there drag alone brakes. */
  readonly braking: readonly EnvelopePoint[];
}

/** Under which the limit is asked. */
export interface EnvelopeConditions {
  readonly supply: Supply;
  /** Left out: without loss. */
  readonly bridge?: Bridge;
  /** Left out: cold, as the file gives the motor. */
  readonly temperatures?: MotorTemperatures;
  /** W that the rest of the leg draws meanwhile; left out: 0. */
  readonly otherPower?: number;
  /** Given, the d current is used too, up to this shaft speed, rad/s: see `safeWeakening`. */
  readonly weakening?: { readonly fastest: number };
}

const STEPS = 48;

export const operation = (drive: JointDrive, at: EnvelopeConditions): Operation => ({
  motor: warmMotor(drive.motor, at.temperatures),
  largestCurrent: largestCurrent(drive),
  phaseShare: phaseVoltageLimit(1, drive),
  supply: at.supply,
  ...(at.bridge !== undefined && { bridge: at.bridge }),
});

/**
 * Shaft speed beyond which field weakening must not go, rad/s: when power is lost the diodes rectify √3·p·λ·ω, line to line, and more than
 * `overVoltage` destroys the electronics.
 */
export const safeWeakening = ({ motor }: JointDrive, overVoltage: number): number =>
  overVoltage / (Math.sqrt(3) * motor.polePairs * motor.fluxLinkage);

/** Largest shaft speed at q current `current`, rad/s, while the rest of the leg draws `others`, W; NaN where not even standstill is possible. */
export function sagSpeed(
  o: Operation,
  others: number,
  current: number,
  weakening?: { readonly fastest: number },
): number {
  const room = (speed: number): number => voltageRoom(o, others, speed, current, 0);
  // without sag the speed is closed form; charging lifts the bus, so that more may be possible
  let top = speedLimit(o.motor, o.phaseShare * o.supply.openCircuitVoltage, current);
  if (Number.isNaN(top)) return Number.NaN;
  while (room(top) >= 0 && o.supply.resistance > 0) top *= 2;
  const plain = lastInside(room, 0, top);
  if (weakening === undefined || !(plain < weakening.fastest)) return plain;
  return lastInside((speed) => weakenedRoom(o, others, speed, current), plain, weakening.fastest);
}

/**
 * Torque of a joint against its speed, steadily, on a bus that sags:
 *
 *     driving:   τ(i) = N·η_f·(τ_m(i) − τ_c − b·N·θ̇) − τ_c,out − b_out·θ̇
 *     braking:   τ(i) = N·(τ_m(i) + τ_c + b·N·θ̇)/η_b + τ_c,out + b_out·θ̇,     θ̇ = ω(i)/N
 *
 * ω(i) is the largest speed at which voltage and pack allow the current: voltage circle, bus voltage and power are solved together.
 * i from the largest current down to zero. The rotor's own acceleration is not in it, nor the strength of the gears.
 */
export function jointEnvelope(drive: JointDrive, conditions: EnvelopeConditions): JointEnvelope {
  const { transmission: t } = drive;
  const o = operation(drive, conditions);
  const others = conditions.otherPower ?? 0;
  const N = t.ratio;
  const side = (sign: 1 | -1): EnvelopePoint[] => {
    const torque = (current: number, speed: number): number => {
      const shaft = torqueOf(o.motor, current) - sign * runningDrag(o.motor, N * speed);
      const friction = t.outputCoulomb + t.outputViscous * speed;
      return sign > 0
        ? N * t.drivingEfficiency * shaft - friction
        : (N * shaft) / t.backDrivenEfficiency + friction;
    };
    const most = Math.abs(lastInside((q) => voltageRoom(o, others, 0, q, 0), 0, sign * o.largestCurrent));
    const points: EnvelopePoint[] = [{ speed: 0, torque: torque(most, 0) }];
    for (let k = STEPS; k >= 0; k--) {
      const current = (most * k) / STEPS;
      const speed = sagSpeed(o, others, sign * current, conditions.weakening) / N;
      if (Number.isNaN(speed)) continue;
      const at = torque(current, speed);
      if (at < 0) break;
      points.push({ speed, torque: at });
    }
    return points;
  };
  return { driving: side(1), braking: side(-1) };
}
