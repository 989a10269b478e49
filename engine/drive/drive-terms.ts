import type { JointDrive } from './leg-drive.ts';
import { currentFor } from './motor-torque.ts';

/** One instant of a joint's motion and load, engine signs: rad, rad/s, rad/s², N·m. */
export interface JointInstant {
  readonly angle: number;
  readonly velocity: number;
  readonly acceleration: number;
  readonly moment: number;
}

/** What `driveLoad` sums at an instant, term by term, each on the shaft unless it says joint. N·m, A. */
export interface DriveTerms {
  /** τ_g at the joint: demand less the spring, with output inertia and output friction. */
  readonly gear: number;
  /** True where the joint drives the mesh, τ_g·θ̇ < 0. */
  readonly backDriven: boolean;
  /** N·(J_m + J_in)·θ̈ */
  readonly inertia: number;
  /** (τ_c + b·N·|θ̇|)·sgn θ̇ */
  readonly drag: number;
  /** τ_g/(N·η_f), or τ_g·η_b/N where the joint drives. */
  readonly mesh: number;
  /** The sum: τ_m. */
  readonly motorTorque: number;
  /** Peak phase; NaN beyond saturation. */
  readonly current: number;
}

/**
 * The equation of `driveLoad` at one instant with its terms kept apart, for showing how a number came about.
 * Same signs, same efficiency by direction, same validity. `driveLoad` sums them in one loop for speed; a test holds the two together.
 */
export function driveTerms(drive: JointDrive, at: JointInstant): DriveTerms {
  const { motor, transmission: t, parallelSpring: spring } = drive;
  const direction = Math.sign(at.velocity);
  const sprung =
    spring !== undefined && at.angle >= spring.engaged.from && at.angle <= spring.engaged.to
      ? -spring.stiffness * (at.angle - spring.equilibrium)
      : 0;
  const gear =
    at.moment -
    sprung +
    t.outputInertia * at.acceleration +
    (t.outputCoulomb + t.outputViscous * Math.abs(at.velocity)) * direction;
  const backDriven = gear * at.velocity < 0;
  const inertia = t.ratio * (motor.rotorInertia + t.inputInertia) * at.acceleration;
  const drag = (motor.coulombDrag + motor.viscousDrag * t.ratio * Math.abs(at.velocity)) * direction;
  const mesh = backDriven
    ? (gear * t.backDrivenEfficiency) / t.ratio
    : gear / (t.ratio * t.drivingEfficiency);
  const motorTorque = inertia + drag + mesh;
  return { gear, backDriven, inertia, drag, mesh, motorTorque, current: currentFor(motor, motorTorque) };
}
