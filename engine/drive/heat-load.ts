import type { JointTrajectory } from './drive-load.ts';
import { driveTerms } from './drive-terms.ts';
import { largestCurrent } from './largest-current.ts';
import type { JointDrive, Motor } from './leg-drive.ts';
import { currentFor, fluxFactor } from './motor-torque.ts';

/** Mean heat that one task makes in one joint. */
export interface HeatLoad {
  /** P_0: mean copper loss of the three phases together, W, with winding and magnets at the motor's reference temperature. */
  readonly copper: number;
  /** n of P = P_0·f^{−n}, f the magnets' flux factor; 2 without saturation, 0 where the current is given and not the torque. */
  readonly fluxExponent: number;
  /** W into the housing: drag, mesh, output friction. */
  readonly friction: number;
  /** Turning, the phases share the loss; stalled at the worst electrical angle one has twice the mean. */
  readonly rotor: 'turning' | 'stalled';
}

/** P = 1.5·R·i², W: amplitude-invariant, i peak phase, R at the reference temperature. */
export const copperLoss = (motor: Motor, current: number): number =>
  1.5 * motor.resistance * current * current;

/**
 * n of P = P_0·f^{−n}, chosen so that P is exact with magnets at the reference and at the winding's limit:  n = −ln(P_hot/P_0)/ln f_hot.
 * Between the two the loss is convex in ln f, so the chord is above it. Loss-free, or with a flux that does not change: 2.
 */
export function lossExponent(motor: Motor, cold: number, hot: number, flux: number): number {
  // a linear motor's current goes with 1/f, exactly; there is no logarithm to take of nothing either
  if (motor.saturationCurrent === undefined || cold === 0 || flux === 1) return 2;
  return -Math.log(hot / cold) / Math.log(flux);
}

/** Flux factor of magnets as hot as the winding may be: the far end at which the loss is exact. */
const hottestFlux = (drive: JointDrive): number =>
  drive.thermal === undefined ? 1 : fluxFactor(drive.motor, drive.thermal.windingLimit);

/**
 * Mean over one stride (trapezoid, both ends included) of copper loss and of all friction:
 *
 *     P_0 = ⟨1.5·R·i²⟩,  i = i(τ_m)          not the square of the mean torque
 *     P_h = ⟨θ̇·(N·τ_m − (N²·(J_m + J_in) + J_out)·θ̈ − τ − k·(θ − θ_0))⟩
 *
 * P_h is what the shaft puts in, less what rotor and gears store, less what the joint delivers: drag, mesh and output friction
 * whatever their direction. All of it is put into the housing, our choice: the gears sit in it. NaN without a moment, and where a
 * torque lies beyond saturation with cold magnets (both) or with magnets at the winding's limit (exponent).
 * Losses of the electronics are not in it. A stride is much shorter than the winding's time constant, so its ripple is left out.
 */
export function strideHeat(
  drive: JointDrive,
  joint: JointTrajectory,
  load: { readonly motorTorque: Float64Array; readonly current: Float64Array },
): HeatLoad {
  const { motor, transmission: t, parallelSpring: spring } = drive;
  const inertia = t.ratio * t.ratio * (motor.rotorInertia + t.inputInertia) + t.outputInertia;
  const flux = hottestFlux(drive);
  const { motorTorque, current } = load;
  const n = current.length;
  let cold = 0;
  let hot = 0;
  let friction = 0;
  for (let i = 0; i < n; i++) {
    const weight = (i === 0 || i === n - 1 ? 0.5 : 1) / (n - 1);
    const torque = motorTorque[i];
    const hotCurrent = currentFor(motor, torque / flux);
    cold += weight * current[i] * current[i];
    hot += weight * hotCurrent * hotCurrent;
    const sprung =
      spring !== undefined && joint.angle[i] >= spring.engaged.from && joint.angle[i] <= spring.engaged.to
        ? spring.stiffness * (joint.angle[i] - spring.equilibrium)
        : 0;
    friction +=
      weight *
      joint.velocity[i] *
      (t.ratio * torque - inertia * joint.acceleration[i] - joint.moment[i] - sprung);
  }
  return {
    copper: 1.5 * motor.resistance * cold,
    fluxExponent: lossExponent(motor, cold, hot, flux),
    friction,
    rotor: 'turning',
  };
}

/**
 * Heat of a joint that holds `moment`, N·m, at `angle` 0 without moving. Friction helps to hold and is not counted on; the mesh takes
 * its driving loss as while lifting, which is the larger need. The rotor stands at its worst electrical angle.
 */
export function holdHeat(drive: JointDrive, moment: number): HeatLoad {
  const { motor } = drive;
  const held = driveTerms(drive, { angle: 0, velocity: 0, acceleration: 0, moment });
  const flux = hottestFlux(drive);
  const cold = copperLoss(motor, held.current);
  const hot = copperLoss(motor, currentFor(motor, held.motorTorque / flux));
  return { copper: cold, fluxExponent: lossExponent(motor, cold, hot, flux), friction: 0, rotor: 'stalled' };
}

/** Heat of the largest current that electronics and motor allow. The current is the limit, so hot magnets do not raise the loss. */
export function peakHeat(drive: JointDrive, rotor: HeatLoad['rotor']): HeatLoad {
  const current = largestCurrent(drive);
  return { copper: copperLoss(drive.motor, current), fluxExponent: 0, friction: 0, rotor };
}
