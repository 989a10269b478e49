import type { JointTrajectory } from './drive-load.ts';
import type { JointDrive } from './leg-drive.ts';

/**
 * Moment the joint delivers when the motor gives `motorTorque` while the joint moves as it does, N·m, joint's sign: `driveLoad` the
 * other way round.
 *
 *     x = N·[τ_m − N·(J_m + J_in)·θ̈ − (τ_c + b·N·|θ̇|)·sgn θ̇]          what the motor has left for the mesh
 *     τ_g = x·η_f   motor drives the mesh, x·θ̇ ≥ 0;      τ_g = x/η_b   joint drives it, x·θ̇ < 0
 *     τ = τ_g + τ_spring − J_out·θ̈ − (τ_c,out + b_out·|θ̇|)·sgn θ̇
 *
 * With τ_m = 0 and without spring it is the back-drive torque, turned: what whoever moves the joint has to overcome.
 * Same signs and validity as `driveLoad`. NaN where the motor torque is.
 */
export function deliveredMoment(
  drive: JointDrive,
  motion: Pick<JointTrajectory, 'angle' | 'velocity' | 'acceleration'>,
  motorTorque: Float64Array,
): Float64Array {
  const { motor, transmission: t, parallelSpring: spring } = drive;
  const N = t.ratio;
  const inertia = N * (motor.rotorInertia + t.inputInertia);
  const moment = new Float64Array(motorTorque.length);
  for (let i = 0; i < moment.length; i++) {
    const velocity = motion.velocity[i];
    const acceleration = motion.acceleration[i];
    const angle = motion.angle[i];
    const direction = Math.sign(velocity);
    const x =
      N *
      (motorTorque[i] -
        inertia * acceleration -
        (motor.coulombDrag + motor.viscousDrag * N * Math.abs(velocity)) * direction);
    const gear = x * velocity < 0 ? x / t.backDrivenEfficiency : x * t.drivingEfficiency;
    const sprung =
      spring !== undefined && angle >= spring.engaged.from && angle <= spring.engaged.to
        ? -spring.stiffness * (angle - spring.equilibrium)
        : 0;
    moment[i] =
      gear +
      sprung -
      t.outputInertia * acceleration -
      (t.outputCoulomb + t.outputViscous * Math.abs(velocity)) * direction;
  }
  return moment;
}
