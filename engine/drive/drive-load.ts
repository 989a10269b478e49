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
  // `currentFor` and `speedLimit` written out, every constant taken from its record once: three times as fast in this loop
  const { angle: angles, velocity: velocities, acceleration: accelerations, moment: moments } = joint;
  const { outputInertia, outputCoulomb, outputViscous } = t;
  const driving = 1 / (N * t.drivingEfficiency);
  const backDriving = t.backDrivenEfficiency / N;
  const {
    coulombDrag,
    fluxLinkage: flux,
    resistance: R,
    inductanceQ: L,
    polePairs: p,
    saturationCurrent,
  } = motor;
  const viscousDrag = motor.viscousDrag * N;
  const perTorque = 1 / (1.5 * p * flux);
  const [flux2, L2, R2, V2] = [flux * flux, L * L, R * R, voltage * voltage];
  let known = true;
  let peakTorque = -1;
  let peakTorqueIndex = -1;
  let peakCurrent = Number.NaN;
  let speedMargin = Number.POSITIVE_INFINITY;
  let speedMarginIndex = 0;
  let backDriven = 0;
  for (let i = 0; i < n; i++) {
    const velocity = velocities[i];
    const acceleration = accelerations[i];
    const direction = velocity > 0 ? 1 : velocity < 0 ? -1 : 0;
    const size = velocity < 0 ? -velocity : velocity;
    let gear = moments[i] + outputInertia * acceleration + (outputCoulomb + outputViscous * size) * direction;
    if (spring !== undefined && angles[i] >= spring.engaged.from && angles[i] <= spring.engaged.to)
      gear += spring.stiffness * (angles[i] - spring.equilibrium);
    const driven = gear * velocity < 0;
    const torque =
      inertia * acceleration +
      (coulombDrag + viscousDrag * size) * direction +
      gear * (driven ? backDriving : driving);
    let amperes = torque * perTorque;
    if (saturationCurrent !== undefined) {
      const share = amperes / saturationCurrent;
      const left = 1 - share * share;
      amperes = left > 0 ? amperes / Math.sqrt(left) : Number.NaN;
    }
    motorTorque[i] = torque;
    current[i] = amperes;
    const need = N * size;
    motorSpeed[i] = N * velocity;
    if (driven) backDriven++;
    let fastest = unloaded;
    if (Number.isNaN(torque)) known = false;
    else {
      const strength = torque < 0 ? -torque : torque;
      if (strength > peakTorque) {
        peakTorque = strength;
        peakTorqueIndex = i;
      }
      // q current that drives in the direction of motion is positive for the voltage circle
      const i2 = amperes * amperes;
      const square = L2 * i2 + flux2;
      const rest = R2 * i2 - V2;
      const b = flux * R * (direction < 0 ? -amperes : amperes);
      fastest = rest > 0 ? Number.NaN : (Math.sqrt(b * b - square * rest) - b) / (square * p);
    }
    limit[i] = fastest;
    // beyond saturation there is no current and so no speed: no margin at all
    const room = Number.isNaN(fastest) ? 0 : need === 0 ? Number.POSITIVE_INFINITY : fastest / need;
    if (room < speedMargin) {
      speedMargin = room;
      speedMarginIndex = i;
    }
  }
  if (!known) {
    peakTorque = Number.NaN;
    peakTorqueIndex = -1;
  } else if (peakTorqueIndex >= 0) peakCurrent = Math.abs(currentFor(motor, peakTorque));
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
