import { type Supply, sagged } from './battery.ts';
import { type Bridge, conductionLoss, deadTimeLoss, switchingPerVolt } from './inverter-loss.ts';
import type { Motor } from './leg-drive.ts';
import { torqueOf } from './motor-torque.ts';

/** One motor on a bus that sags under it, and under `others`, W that the rest of the leg draws meanwhile. */
export interface Operation {
  /** Winding and magnets as warm as they are: see `warmMotor`. */
  readonly motor: Motor;
  /** A, peak phase. */
  readonly largestCurrent: number;
  /** Peak phase voltage ÷ bus voltage. */
  readonly phaseShare: number;
  readonly supply: Supply;
  /** Left out: a bridge without loss. */
  readonly bridge?: Bridge;
}

/**
 * Phase voltage to spare at shaft speed ω ≥ 0 and currents i_q (positive drives) and i_d, V:
 *
 *     k·V(P) − √((R·i_d − ω_e·L_q·i_q)² + (R·i_q + ω_e·(L_d·i_d + λ))²)
 *     P = τ_m·ω + 1.5·R·(i_d² + i_q²) + bridge + others,   τ_m = τ(i_q) + 1.5·p·(L_d − L_q)·i_d·i_q
 *
 * V by `sagged`; while charging it does not rise above E + R_b·I_chg, since what the cells may not take must go elsewhere. −∞ where the
 * pack cannot give P, or may not: beyond its discharge limit. Below zero the motor cannot be there. Steady; drag is the shaft's, not the
 * bus's.
 */
export function voltageRoom(o: Operation, others: number, speed: number, q: number, d: number): number {
  const { motor, supply, bridge } = o;
  const { resistance: R, inductanceD: Ld, inductanceQ: Lq, polePairs: p } = motor;
  const w = p * speed;
  const square = d * d + q * q;
  const torque = torqueOf(motor, q) + 1.5 * p * (Ld - Lq) * d * q;
  let power = torque * speed + 1.5 * R * square + others;
  let perVolt = 0;
  if (bridge !== undefined) {
    const current = Math.sqrt(square);
    power += conductionLoss(bridge, current) + deadTimeLoss(bridge, current) + bridge.quiescentPower;
    perVolt = switchingPerVolt(bridge, current);
  }
  let voltage = sagged(supply, power, perVolt);
  const amperes = (power + perVolt * voltage) / voltage;
  if (!(amperes <= (supply.dischargeLimit ?? Number.POSITIVE_INFINITY))) return Number.NEGATIVE_INFINITY;
  if (supply.chargeLimit !== undefined && amperes < -supply.chargeLimit)
    voltage = supply.openCircuitVoltage + supply.resistance * supply.chargeLimit;
  return o.phaseShare * voltage - Math.hypot(R * d - w * Lq * q, R * q + w * (Ld * d + motor.fluxLinkage));
}

/** Halvings until two ends are neighbours in double precision, nearly. */
const HALVINGS = 52;

/** Where a function that rises and then falls is largest between two ends: golden section. */
function summit(of: (x: number) => number, from: number, to: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [from, to];
  for (let k = 0; k < HALVINGS; k++) {
    const [x, y] = [b - golden * (b - a), a + golden * (b - a)];
    if (of(x) >= of(y)) b = y;
    else a = x;
  }
  return (a + b) / 2;
}

/**
 * Last x on the way from `from` to `to` at which `room` is not below zero; NaN where it is everywhere. `room` must rise and fall at most
 * once, as `voltageRoom` does in speed and in each current: bus voltage is concave in all three, the voltage needed convex.
 */
export function lastInside(room: (x: number) => number, from: number, to: number): number {
  if (room(to) >= 0) return to;
  let inside = from;
  if (!(room(from) >= 0)) {
    inside = summit(room, from, to);
    if (!(room(inside) >= 0)) return Number.NaN;
  }
  let outside = to;
  for (let k = 0; k < HALVINGS; k++) {
    const middle = (inside + outside) / 2;
    if (room(middle) >= 0) inside = middle;
    else outside = middle;
  }
  return inside;
}

/** The same room with the d current that leaves most of it, as far as the current limit goes: weakens the magnets' field. */
export function weakenedRoom(o: Operation, others: number, speed: number, q: number): number {
  const free = voltageRoom(o, others, speed, q, 0);
  const left = o.largestCurrent ** 2 - q * q;
  if (free >= 0 || left <= 0) return free;
  const of = (d: number): number => voltageRoom(o, others, speed, q, d);
  return of(summit(of, 0, -Math.sqrt(left)));
}
