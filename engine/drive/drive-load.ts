import { newArray, type TakeArray } from '../numeric/reused-arrays.ts';
import { curveRms } from '../numeric/trapezoid.ts';
import { largestCurrent } from './largest-current.ts';
import type { JointDrive } from './leg-drive.ts';
import { currentFor, torqueOf } from './motor-torque.ts';
import { fastestAt, speedMargin } from './speed-margin.ts';
import { phaseVoltageLimit } from './voltage-limit.ts';

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
 * Current from the saturation curve, cold motor; speed against the voltage circle at that current, stiff bus. Arrays of current and
 * speeds are worked out when they are asked for; `take` gives the one of torque.
 */
export function driveLoad(
  drive: JointDrive,
  joint: JointTrajectory,
  busVoltage: number,
  take: TakeArray = newArray,
): DriveLoad {
  const { motor, transmission: t, parallelSpring: spring } = drive;
  const { angle: angles, velocity: velocities, acceleration: accelerations, moment: moments } = joint;
  const n = velocities.length;
  const motorTorque = take(n);
  const N = t.ratio;
  // every constant taken from its record once
  const inertia = N * (motor.rotorInertia + t.inputInertia);
  const { outputInertia, outputCoulomb, outputViscous } = t;
  const driving = 1 / (N * t.drivingEfficiency);
  const backDriving = t.backDrivenEfficiency / N;
  const { coulombDrag } = motor;
  const viscousDrag = motor.viscousDrag * N;
  let known = true;
  let fastest = 0;
  let most = 0;
  let peakTorque = -1;
  let peakTorqueIndex = -1;
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
    motorTorque[i] = torque;
    if (driven) backDriven++;
    if (size > most) {
      most = size;
      fastest = i;
    }
    if (Number.isNaN(torque)) known = false;
    const strength = torque < 0 ? -torque : torque;
    if (strength > peakTorque) {
      peakTorque = strength;
      peakTorqueIndex = i;
    }
  }
  const voltage = phaseVoltageLimit(busVoltage, drive);
  const strongest = Math.max(peakTorque, 0);
  const { margin, index } = speedMargin(motor, voltage, N, velocities, motorTorque, { strongest, fastest });
  if (!known) {
    peakTorque = Number.NaN;
    peakTorqueIndex = -1;
  }
  return new StrideLoad(drive, velocities, voltage, {
    motorTorque,
    peakTorque,
    peakTorqueIndex,
    rmsTorque: curveRms(motorTorque),
    peakCurrent: Math.abs(currentFor(motor, peakTorque)),
    torqueMargin: torqueOf(motor, largestCurrent(drive)) / peakTorque,
    speedMargin: margin,
    speedMarginIndex: index,
    backDrivenShare: peakTorqueIndex < 0 ? Number.NaN : backDriven / n,
  });
}

/** A class for its getters: in a record they cost as much as the loop over the stride. */
class StrideLoad implements DriveLoad {
  readonly motorTorque: Float64Array;
  readonly peakTorque: number;
  readonly peakTorqueIndex: number;
  readonly rmsTorque: number;
  readonly peakCurrent: number;
  readonly torqueMargin: number;
  readonly speedMargin: number;
  readonly speedMarginIndex: number;
  readonly backDrivenShare: number;
  readonly #drive: JointDrive;
  readonly #velocity: Float64Array;
  readonly #voltage: number;
  #current: Float64Array | undefined;
  #motorSpeed: Float64Array | undefined;
  #speedLimit: Float64Array | undefined;

  constructor(
    drive: JointDrive,
    velocity: Float64Array,
    voltage: number,
    known: Omit<DriveLoad, 'current' | 'motorSpeed' | 'speedLimit'>,
  ) {
    this.motorTorque = known.motorTorque;
    this.peakTorque = known.peakTorque;
    this.peakTorqueIndex = known.peakTorqueIndex;
    this.rmsTorque = known.rmsTorque;
    this.peakCurrent = known.peakCurrent;
    this.torqueMargin = known.torqueMargin;
    this.speedMargin = known.speedMargin;
    this.speedMarginIndex = known.speedMarginIndex;
    this.backDrivenShare = known.backDrivenShare;
    this.#drive = drive;
    this.#velocity = velocity;
    this.#voltage = voltage;
  }

  get current(): Float64Array {
    this.#current ??= this.motorTorque.map((torque) => currentFor(this.#drive.motor, torque));
    return this.#current;
  }

  get motorSpeed(): Float64Array {
    const { ratio } = this.#drive.transmission;
    this.#motorSpeed ??= this.#velocity.map((velocity) => ratio * velocity);
    return this.#motorSpeed;
  }

  get speedLimit(): Float64Array {
    this.#speedLimit ??= this.#velocity.map((velocity, i) =>
      fastestAt(this.#drive.motor, this.#voltage, this.motorTorque[i], velocity),
    );
    return this.#speedLimit;
  }

  /** With the curves that are worked out when asked for: JSON looks at no getter. */
  toJSON(): DriveLoad {
    const { motorTorque, current, motorSpeed, speedLimit } = this;
    return { ...this, motorTorque, current, motorSpeed, speedLimit };
  }
}
