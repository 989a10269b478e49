import { curveRms } from '../numeric/trapezoid.ts';
import { largestCurrent } from './largest-current.ts';
import type { JointDrive } from './leg-drive.ts';
import { currentFor, torqueOf } from './motor-torque.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

/** The joint's motion and demand over the stride, evenly sampled, engine signs: rad, rad/s, rad/s², N·m. */
export interface JointTrajectory {
  readonly angle: Float64Array;
  readonly velocity: Float64Array;
  readonly acceleration: Float64Array;
  readonly moment: Float64Array;
}

/** What the motor sees over the stride. Arrays as long as the trajectory's. Motor torque and current carry the joint's sign. */
export interface DriveLoad {
  /** N·m on the shaft; NaN where the demand has no moment. */
  readonly motorTorque: Float64Array;
  /** A, peak phase; NaN beyond saturation. */
  readonly current: Float64Array;
  /** Shaft speed, rad/s. */
  readonly motorSpeed: Float64Array;
  /** Largest shaft speed the bus allows at this instant's current, in the direction of motion, rad/s; NaN beyond reach. */
  readonly speedLimit: Float64Array;
  /** NaN where any sample has no moment: a peak over part of a stride is not the stride's. */
  readonly peakTorque: number;
  readonly peakTorqueIndex: number;
  readonly rmsTorque: number;
  /** At the torque's peak; NaN with a peak torque beyond saturation. */
  readonly peakCurrent: number;
  /** Limit ÷ need: motor torque at the current limit over the peak asked. */
  readonly torqueMargin: number;
  /** Least of limit ÷ |speed| over the stride, where the joint moves; with no moment, the unloaded limit. */
  readonly speedMargin: number;
  readonly speedMarginIndex: number;
  /** Share of the stride in which the joint drives the motor. */
  readonly backDrivenShare: number;
}

/**
 * Motor torque and current over a stride.
 *
 *     τ_g = τ − τ_spring + J_out·θ̈ + (τ_c,out + b_out·|θ̇|)·sgn θ̇       through the gears
 *     τ_m = N·(J_m + J_in)·θ̈ + (τ_c + b·N·|θ̇|)·sgn θ̇ + τ_g/(N·η_f)    motor drives the mesh, τ_g·θ̇ ≥ 0
 *     τ_m = N·(J_m + J_in)·θ̈ + (τ_c + b·N·|θ̇|)·sgn θ̇ + τ_g·η_b/N      joint drives it,       τ_g·θ̇ < 0
 *
 * sgn 0 = 0: at a standstill friction helps to hold and is not charged. The sign test is on the gears' torque, not the motor's.
 * Current from the saturation curve, cold motor; speed against the voltage circle at that current, stiff bus.
 */
export function driveLoad(drive: JointDrive, joint: JointTrajectory, busVoltage: number): DriveLoad {
  const { motor, transmission: t, parallelSpring: spring } = drive;
  const n = joint.velocity.length;
  const motorTorque = new Float64Array(n);
  const current = new Float64Array(n);
  const motorSpeed = new Float64Array(n);
  const limit = new Float64Array(n);
  const N = t.ratio;
  const inertia = N * (motor.rotorInertia + t.inputInertia);
  const voltage = phaseVoltageLimit(busVoltage, drive);
  const unloaded = speedLimit(motor, voltage, 0);
  let known = true;
  let peakTorqueIndex = -1;
  let peakCurrent = Number.NaN;
  let speedMargin = Number.POSITIVE_INFINITY;
  let speedMarginIndex = 0;
  let backDriven = 0;
  for (let i = 0; i < n; i++) {
    const velocity = joint.velocity[i];
    const acceleration = joint.acceleration[i];
    const direction = Math.sign(velocity);
    let gear =
      joint.moment[i] +
      t.outputInertia * acceleration +
      (t.outputCoulomb + t.outputViscous * Math.abs(velocity)) * direction;
    if (
      spring !== undefined &&
      joint.angle[i] >= spring.engaged.from &&
      joint.angle[i] <= spring.engaged.to
    ) {
      gear += spring.stiffness * (joint.angle[i] - spring.equilibrium);
    }
    const driven = gear * velocity < 0;
    const throughMesh = driven ? (gear * t.backDrivenEfficiency) / N : gear / (N * t.drivingEfficiency);
    const torque =
      inertia * acceleration +
      (motor.coulombDrag + motor.viscousDrag * N * Math.abs(velocity)) * direction +
      throughMesh;
    const amperes = currentFor(motor, torque);
    motorTorque[i] = torque;
    current[i] = amperes;
    motorSpeed[i] = N * velocity;
    // q current that drives in the direction of motion is positive for the voltage circle
    limit[i] = Number.isNaN(torque)
      ? unloaded
      : speedLimit(motor, voltage, direction < 0 ? -amperes : amperes);
    if (driven) backDriven++;
    if (Number.isNaN(torque)) known = false;
    else if (peakTorqueIndex < 0 || Math.abs(torque) > Math.abs(motorTorque[peakTorqueIndex]))
      peakTorqueIndex = i;
    const need = Math.abs(motorSpeed[i]);
    // beyond saturation there is no current and so no speed: no margin at all
    const room = Number.isNaN(limit[i]) ? 0 : need === 0 ? Number.POSITIVE_INFINITY : limit[i] / need;
    if (room < speedMargin) {
      speedMargin = room;
      speedMarginIndex = i;
    }
  }
  if (!known) peakTorqueIndex = -1;
  const peakTorque = peakTorqueIndex < 0 ? Number.NaN : Math.abs(motorTorque[peakTorqueIndex]);
  if (peakTorqueIndex >= 0) peakCurrent = Math.abs(currentFor(motor, peakTorque));
  return {
    motorTorque,
    current,
    motorSpeed,
    speedLimit: limit,
    peakTorque,
    peakTorqueIndex,
    rmsTorque: curveRms(motorTorque),
    peakCurrent,
    torqueMargin: torqueOf(motor, largestCurrent(drive)) / peakTorque,
    speedMargin,
    speedMarginIndex,
    backDrivenShare: peakTorqueIndex < 0 ? Number.NaN : backDriven / n,
  };
}
