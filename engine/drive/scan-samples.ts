import type { JointTrajectory } from './drive-load.ts';
import type { JointDrive } from './leg-drive.ts';

/**
 * Every sample of every stride at one joint, as columns, with all that neither motor nor ratio can change already in them. What is
 * scanned may differ in motor, ratio, mesh efficiencies and input-side gears; spring, output inertia and output friction are those of
 * the drive it was made for.
 */
export interface ScanSamples {
  /** Task k has the samples from `start[k]` up to, not including, `start[k + 1]`. */
  readonly start: Int32Array;
  /** τ_g, N·m at the joint, where the motor drives the mesh; 0 elsewhere. NaN where the demand has no moment. */
  readonly driving: Float64Array;
  /** τ_g where the joint drives the mesh; 0 elsewhere. */
  readonly driven: Float64Array;
  /** θ̈, rad/s². */
  readonly acceleration: Float64Array;
  /** θ̇, rad/s. */
  readonly velocity: Float64Array;
  /** sgn θ̇. */
  readonly direction: Float64Array;
  /** Trapezoid weights of the mean over the task, both ends included: they sum to 1. */
  readonly weight: Float64Array;
}

/**
 * The samples of these strides, one after another:
 *
 *     τ_g = τ + k·(θ − θ_0) + J_out·θ̈ + (τ_c,out + b_out·|θ̇|)·sgn θ̇
 *
 * as in `driveLoad`, sorted into the two directions of power by the sign of τ_g·θ̇. Motor torque is then linear in five columns:
 *
 *     τ_m = a·x,   x = (τ_g driving, τ_g driven, θ̈, θ̇, sgn θ̇),   a = (1/(N·η_f), η_b/N, N·(J_m + J_in), N·b, τ_c)
 */
export function scanSamples(
  { transmission: t, parallelSpring: spring }: Pick<JointDrive, 'transmission' | 'parallelSpring'>,
  strides: readonly JointTrajectory[],
): ScanSamples {
  const size = strides.reduce((sum, { velocity }) => sum + velocity.length, 0);
  const start = new Int32Array(strides.length + 1);
  const driving = new Float64Array(size);
  const driven = new Float64Array(size);
  const acceleration = new Float64Array(size);
  const velocity = new Float64Array(size);
  const direction = new Float64Array(size);
  const weight = new Float64Array(size);
  let at = 0;
  strides.forEach((joint, task) => {
    const n = joint.velocity.length;
    for (let i = 0; i < n; i++, at++) {
      const v = joint.velocity[i];
      const sign = Math.sign(v);
      let gear =
        joint.moment[i] +
        t.outputInertia * joint.acceleration[i] +
        (t.outputCoulomb + t.outputViscous * Math.abs(v)) * sign;
      if (
        spring !== undefined &&
        joint.angle[i] >= spring.engaged.from &&
        joint.angle[i] <= spring.engaged.to
      )
        gear += spring.stiffness * (joint.angle[i] - spring.equilibrium);
      if (gear * v < 0) driven[at] = gear;
      else driving[at] = gear;
      acceleration[at] = joint.acceleration[i];
      velocity[at] = v;
      direction[at] = sign;
      weight[at] = (i === 0 || i === n - 1 ? 0.5 : 1) / (n - 1);
    }
    start[task + 1] = at;
  });
  return { start, driving, driven, acceleration, velocity, direction, weight };
}
