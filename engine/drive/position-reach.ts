import { reusedArrays } from '../numeric/reused-arrays.ts';
import { driveLoad, type JointTrajectory } from './drive-load.ts';
import { largestCurrent } from './largest-current.ts';
import type { JointDrive } from './leg-drive.ts';
import { torqueOf } from './motor-torque.ts';
import { reflectedInertia } from './reflected-inertia.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

/** Frequencies, Hz, at which a straight torque-speed line lets an inertia swing. */
export interface LineReach {
  /** Both limits together. */
  readonly frequency: number;
  /** Torque alone: √(τ_s/(A·J))/2π. */
  readonly byTorque: number;
  /** Speed alone: q̇_0/(2πA). */
  readonly bySpeed: number;
}

/**
 * Highest frequency of θ = A·sin ωt that a drive with stall torque τ_s and unloaded speed q̇_0 can give an inertia J_t, line between the two:
 *
 *     (A·ω²·J_t/τ_s)² + (A·ω/q̇_0)² ≤ 1      quadratic in ω²
 *
 * `amplitude` A rad, `inertia` kg·m² with the rotor in it, N·m, rad/s. No friction, no gravity. The plain version of `positionReach`:
 * a drive whose current limit cuts off the torque does more than this line, one that its resistance limits can do less.
 */
export function lineReach(inertia: number, stall: number, unloaded: number, amplitude: number): LineReach {
  const a = ((amplitude * inertia) / stall) ** 2;
  const b = (amplitude / unloaded) ** 2;
  return {
    frequency: Math.sqrt((-b + Math.sqrt(b * b + 4 * a)) / (2 * a)) / (2 * Math.PI),
    byTorque: Math.sqrt(stall / (amplitude * inertia)) / (2 * Math.PI),
    bySpeed: unloaded / (2 * Math.PI * amplitude),
  };
}

/** How fast a joint can swing by a stated amplitude, and what forbids more. */
export interface PositionReach {
  /** rad, from the middle to either side. */
  readonly amplitude: number;
  /** Hz; NaN where friction alone is more than the drive can give. */
  readonly frequency: number;
  readonly limitedBy: 'torque' | 'speed';
  /** Straight line from peak torque to unloaded speed, lossless: `lineReach`. */
  readonly line: LineReach;
}

/**
 * Instants of half a period, from just after one end of the swing, where friction already stands against the start, to the other: the
 * way back mirrors it.
 */
const INSTANTS = 64;
const half = (of: (phase: number) => number): Float64Array =>
  Float64Array.from({ length: INSTANTS + 1 }, (_, k) => of(Math.PI * (k / INSTANTS - 0.5)));
const SIN = half(Math.sin);
const COS = half(Math.cos);

/**
 * Highest frequency of θ = A·sin ωt that a drive can give the link it carries: at every instant torque within the current limit, speed
 * within the voltage circle at that current, by the equation of `driveLoad` with moment J_link·θ̈. Mesh loss, drag, friction, saturation
 * and rotor are in it; gravity, a parallel spring, gear elasticity, backlash, bus sag and heat are not. By doubling and bisection: what is
 * asked only grows with ω.
 */
export function positionReach(
  drive: JointDrive,
  busVoltage: number,
  linkInertia: number,
  amplitude: number,
): PositionReach {
  const { parallelSpring: _, ...alone } = drive;
  const { motor, transmission: t } = drive;
  const voltage = phaseVoltageLimit(busVoltage, drive);
  const held = Math.min(largestCurrent(drive), voltage / motor.resistance);
  const line = lineReach(
    linkInertia + reflectedInertia(motor, t),
    t.ratio * torqueOf(motor, held),
    speedLimit(motor, voltage, 0) / t.ratio,
    amplitude,
  );
  const swing: JointTrajectory = {
    angle: SIN.map((s) => amplitude * s),
    velocity: new Float64Array(INSTANTS + 1),
    acceleration: new Float64Array(INSTANTS + 1),
    moment: new Float64Array(INSTANTS + 1),
  };
  // some forty frequencies of which two numbers are wanted: each overwrites the curves of the one before
  const { take, again } = reusedArrays();
  const beyond = (f: number): PositionReach['limitedBy'] | undefined => {
    const w = 2 * Math.PI * f;
    for (let k = 0; k <= INSTANTS; k++) {
      swing.velocity[k] = amplitude * w * COS[k];
      swing.acceleration[k] = -amplitude * w * w * SIN[k];
      swing.moment[k] = -linkInertia * amplitude * w * w * SIN[k];
    }
    again();
    const load = driveLoad(alone, swing, busVoltage, take);
    if (!(load.torqueMargin >= 1)) return 'torque';
    return load.speedMargin >= 1 ? undefined : 'speed';
  };
  let lo = line.frequency / 1000;
  const slow = beyond(lo);
  if (slow !== undefined) return { amplitude, frequency: Number.NaN, limitedBy: slow, line };
  let hi = line.frequency / 2;
  let limitedBy = beyond(hi);
  while (limitedBy === undefined) {
    lo = hi;
    hi *= 2;
    limitedBy = beyond(hi);
  }
  for (let k = 0; k < 30; k++) {
    const mid = (lo + hi) / 2;
    const found = beyond(mid);
    if (found === undefined) lo = mid;
    else [hi, limitedBy] = [mid, found];
  }
  return { amplitude, frequency: lo, limitedBy, line };
}
