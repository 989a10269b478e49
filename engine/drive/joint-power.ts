import type { JointTrajectory } from './drive-load.ts';
import { type Bridge, conductionLoss, deadTimeLoss, switchingPerVolt } from './inverter-loss.ts';
import type { JointDrive } from './leg-drive.ts';
import { currentFor } from './motor-torque.ts';
import { type MotorTemperatures, warmMotor } from './warm-motor.ts';

/** Where one joint's power goes, mean over the stride, W. All but the first three are losses and never below zero. */
export interface JointLosses {
  /** τ·θ̇ at the joint: what it delivers less what it takes. */
  readonly mechanical: number;
  /** Into rotor and gears, and into the parallel spring: zero over a closed stride, as far as its sampling closes. */
  readonly kinetic: number;
  readonly spring: number;
  readonly copper: number;
  /** Drag of the motor, its iron loss in it. */
  readonly drag: number;
  readonly mesh: number;
  readonly outputFriction: number;
  /** Bridge without what goes with the bus voltage. */
  readonly conduction: number;
  readonly quiescent: number;
}

/** Power of one joint at the bus over the stride, evenly sampled, both ends included. */
export interface JointPower {
  /** W at each sample, without switching loss; NaN where no current gives the torque. */
  readonly power: Float64Array;
  /** Switching loss ÷ bus voltage, A. */
  readonly perVolt: Float64Array;
  /** A, peak phase, at these temperatures. */
  readonly current: Float64Array;
  readonly mean: JointLosses;
  /** While the joint takes power, τ·θ̇ < 0: what it takes, and what copper costs meanwhile, W over the whole stride. */
  readonly braking: { readonly taken: number; readonly copper: number };
}

/**
 * Electrical power of one joint:
 *
 *     P = N·τ_m·θ̇ + 1.5·R(T_w)·i² + P_bridge,   i = i(τ_m/f(T_m))
 *
 * τ_m from `driveLoad`. The mean is split into where it goes, each by its own formula and not by difference:
 *
 *     kinetic   (N²·(J_m + J_in) + J_out)·θ̈·θ̇      spring  k·(θ − θ_0)·θ̇ while engaged
 *     drag      (τ_c + b·N·|θ̇|)·N·|θ̇|             output  (τ_c,out + b_out·|θ̇|)·|θ̇|
 *     mesh      |τ_g·θ̇|·(1/η_f − 1) while the motor drives, |τ_g·θ̇|·(1 − η_b) while the joint does
 *
 * Whether the bus voltage allows the speed is asked elsewhere, by the envelope; here the torque is taken as delivered.
 */
export function jointPower(
  drive: JointDrive,
  joint: JointTrajectory,
  motorTorque: Float64Array,
  bridge: Bridge,
  temperatures?: MotorTemperatures,
): JointPower {
  const { transmission: t, parallelSpring } = drive;
  const motor = warmMotor(drive.motor, temperatures);
  const n = motorTorque.length;
  const N = t.ratio;
  const inertia = N * N * (motor.rotorInertia + t.inputInertia) + t.outputInertia;
  const power = new Float64Array(n);
  const perVolt = new Float64Array(n);
  const current = new Float64Array(n);
  let mechanical = 0;
  let kinetic = 0;
  let spring = 0;
  let copper = 0;
  let drag = 0;
  let mesh = 0;
  let outputFriction = 0;
  let conduction = 0;
  let taken = 0;
  let copperMeanwhile = 0;
  for (let i = 0; i < n; i++) {
    const weight = (i === 0 || i === n - 1 ? 0.5 : 1) / (n - 1);
    const velocity = joint.velocity[i];
    const acceleration = joint.acceleration[i];
    const speed = Math.abs(velocity);
    const out = joint.moment[i] * velocity;
    const intoSpring =
      parallelSpring !== undefined &&
      joint.angle[i] >= parallelSpring.engaged.from &&
      joint.angle[i] <= parallelSpring.engaged.to
        ? parallelSpring.stiffness * (joint.angle[i] - parallelSpring.equilibrium) * velocity
        : 0;
    const outputLoss = (t.outputCoulomb + t.outputViscous * speed) * speed;
    const throughMesh = out + intoSpring + t.outputInertia * acceleration * velocity + outputLoss;
    const amperes = currentFor(motor, motorTorque[i]);
    const heat = 1.5 * motor.resistance * amperes * amperes;
    const switches = conductionLoss(bridge, amperes) + deadTimeLoss(bridge, amperes);
    power[i] = N * motorTorque[i] * velocity + heat + switches + bridge.quiescentPower;
    perVolt[i] = switchingPerVolt(bridge, amperes);
    current[i] = amperes;
    mechanical += weight * out;
    kinetic += weight * inertia * acceleration * velocity;
    spring += weight * intoSpring;
    copper += weight * heat;
    drag += weight * (motor.coulombDrag + motor.viscousDrag * N * speed) * N * speed;
    mesh +=
      weight *
      (throughMesh >= 0
        ? throughMesh * (1 / t.drivingEfficiency - 1)
        : -throughMesh * (1 - t.backDrivenEfficiency));
    outputFriction += weight * outputLoss;
    conduction += weight * switches;
    if (out < 0) {
      taken -= weight * out;
      copperMeanwhile += weight * heat;
    }
  }
  return {
    power,
    perVolt,
    current,
    mean: {
      mechanical,
      kinetic,
      spring,
      copper,
      drag,
      mesh,
      outputFriction,
      conduction,
      quiescent: bridge.quiescentPower,
    },
    braking: { taken, copper: copperMeanwhile },
  };
}
