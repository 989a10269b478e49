import type { JointTrajectory } from './drive-load.ts';
import type { JointDrive } from './leg-drive.ts';

/** Numbers of one sample in `rows`. */
export const ROW = 6;

/**
 * Every sample of every stride at one joint, with all that neither motor nor ratio can change already in it. What is scanned may
 * differ in motor, ratio, mesh efficiencies and input-side gears; spring, output inertia and output friction are those of the drive it
 * was made for.
 *
 * One row of six numbers a sample:
 *
 *     0  τ_g, N·m at the joint, where the motor drives the mesh, else 0; NaN where the demand has no moment
 *     1  τ_g where the joint drives the mesh, else 0
 *     2  θ̈, rad/s²
 *     3  θ̇, rad/s
 *     4  sgn θ̇
 *     5  trapezoid weight of the mean over the task, both ends included: a task's sum to 1
 *
 * One array and not six: a loop that checks the bounds of one is a quarter faster in JavaScript than one that checks six.
 */
export interface ScanSamples {
  /** Task k has the samples from `start[k]` up to, not including, `start[k + 1]`. */
  readonly start: Int32Array;
  readonly rows: Float64Array;
}

/**
 * The samples of these strides, one after another:
 *
 *     τ_g = τ + k·(θ − θ_0) + J_out·θ̈ + (τ_c,out + b_out·|θ̇|)·sgn θ̇
 *
 * as in `driveLoad`, sorted into the two directions of power by the sign of τ_g·θ̇. Motor torque is then linear in the first five numbers of a row:
 *
 *     τ_m = a·x,   x = (τ_g driving, τ_g driven, θ̈, θ̇, sgn θ̇),   a = (1/(N·η_f), η_b/N, N·(J_m + J_in), N·b, τ_c)
 */
export function scanSamples(
  { transmission: t, parallelSpring: spring }: Pick<JointDrive, 'transmission' | 'parallelSpring'>,
  strides: readonly JointTrajectory[],
): ScanSamples {
  const size = strides.reduce((sum, { velocity }) => sum + velocity.length, 0);
  const start = new Int32Array(strides.length + 1);
  const rows = new Float64Array(size * ROW);
  let at = 0;
  strides.forEach((joint, task) => {
    const n = joint.velocity.length;
    for (let i = 0; i < n; i++, at += ROW) {
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
      rows[gear * v < 0 ? at + 1 : at] = gear;
      rows[at + 2] = joint.acceleration[i];
      rows[at + 3] = v;
      rows[at + 4] = sign;
      rows[at + 5] = (i === 0 || i === n - 1 ? 0.5 : 1) / (n - 1);
    }
    start[task + 1] = at / ROW;
  });
  return { start, rows };
}
