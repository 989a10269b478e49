import type { JointTrajectory } from '../drive/drive-load.ts';
import { largestCurrent } from '../drive/largest-current.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { torqueOf } from '../drive/motor-torque.ts';

/** What the drive itself adds to the torque that was asked for, and how much of it other gains would mend. Shares of the rms asked. */
export interface TuningBurden {
  /** e_0: all of it, gains taken from a human joint as they are. */
  readonly mismatch: number;
  /** e_ret: what another stiffness, damping and equilibrium take away. */
  readonly mendable: number;
  /** e_irr: what no stiffness, damping and equilibrium take away. e_0² = e_ret² + e_irr². */
  readonly lasting: number;
  /** ΔK, N·m/rad, ΔB, N·m·s/rad, Δc, N·m: what would be added to K, B and K·θ_eq. */
  readonly stiffnessShift: number;
  readonly dampingShift: number;
  readonly offsetShift: number;
  /** rms(τ_asked), N·m. */
  readonly asked: number;
  /** Share of the samples at which the current limit holds the torque back. */
  readonly limited: number;
}

/**
 * Torque at the joint, N·m, of software that asks for `asked` and takes the drive for ideal: one constant, no inertia, no loss.
 *
 *     i = τ/(N·K_t), |i| ≤ i_max,   τ_m = (1 + ε)·τ(i)                           saturation curve
 *     g = N·τ_m − N²·(J_m + J_in)·θ̈_r − N·τ_c·sgn θ̇_r − N²·b·θ̇_r                  before the mesh
 *     g·η_f where g·θ̇_r ≥ 0, else g/η_b;   then − J_out·θ̈ − τ_c,out·sgn θ̇ − b_out·θ̇
 *
 * θ_r: rotor as seen at the joint, θ where the gears are rigid.
 *
 * The inverse of `driveLoad` but for a parallel spring, which software and joint both have. Cold motor, bus not a limit.
 */
function delivered(
  { motor, transmission: t }: JointDrive,
  most: number,
  constantError: number,
  asked: number,
  velocity: number,
  acceleration: number,
  rotorVelocity: number,
  rotorAcceleration: number,
): number {
  const N = t.ratio;
  const kt = 1.5 * motor.polePairs * motor.fluxLinkage;
  const current = asked / (N * kt);
  const held = Math.abs(current) > most ? most * Math.sign(current) : current;
  const gear =
    N * (1 + constantError) * torqueOf(motor, held) -
    N * N * (motor.rotorInertia + t.inputInertia) * rotorAcceleration -
    N * motor.coulombDrag * Math.sign(rotorVelocity) -
    N * N * motor.viscousDrag * rotorVelocity;
  const through = gear * rotorVelocity < 0 ? gear / t.backDrivenEfficiency : gear * t.drivingEfficiency;
  return (
    through -
    t.outputInertia * acceleration -
    t.outputCoulomb * Math.sign(velocity) -
    t.outputViscous * velocity
  );
}

/** τ_par of `tuningBurden` at samples `from` to `to`, N·m; `rotor`: its motion where it is not the joint's, rad/s and rad/s². */
export function lostTorque(
  drive: JointDrive,
  { moment, velocity, acceleration }: JointTrajectory,
  constantError: number,
  from: number,
  to: number,
  rotor: Pick<JointTrajectory, 'velocity' | 'acceleration'> = { velocity, acceleration },
): Float64Array {
  const most = largestCurrent(drive);
  return Float64Array.from({ length: to - from }, (_, i) => {
    const k = from + i;
    const [own, bend] = [rotor.velocity[k], rotor.acceleration[k]];
    return (
      moment[k] - delivered(drive, most, constantError, moment[k], velocity[k], acceleration[k], own, bend)
    );
  });
}

/**
 * Tuning burden of one drive over samples `from` to `to` of a motion with its moment, without torque sensing.
 *
 *     τ_par = τ_asked − τ_delivered,   e_0 = rms(τ_par)/rms(τ_asked)
 *     P onto {1, θ, θ̇}:  e_ret = rms(P·τ_par)/rms(τ_asked),  e_irr = rms(τ_par − P·τ_par)/rms(τ_asked)
 *     P·τ_par = Δc − ΔK·θ − ΔB·θ̇
 *
 * One stiffness, damping and equilibrium for all these samples: cut finer, more can be mended. A shift may be one that stability or
 * passivity forbids; a negative ΔB asks for a damper that gives energy. `constantError` ε is torque that comes ÷ torque believed in, − 1.
 */
export function tuningBurden(
  drive: JointDrive,
  motion: JointTrajectory,
  constantError: number,
  from = 0,
  to = motion.angle.length,
): TuningBurden {
  const most = largestCurrent(drive);
  const kt = 1.5 * drive.motor.polePairs * drive.motor.fluxLinkage;
  const n = to - from;
  const lost = lostTorque(drive, motion, constantError, from, to);
  const angle = new Float64Array(n);
  const speed = new Float64Array(n);
  let [asked2, limited] = [0, 0];
  for (let i = 0; i < n; i++) {
    const moment = motion.moment[from + i];
    angle[i] = motion.angle[from + i];
    speed[i] = motion.velocity[from + i];
    asked2 += moment * moment;
    if (Math.abs(moment) > most * kt * drive.transmission.ratio) limited++;
  }
  const all = squares(lost);
  const mean = total(lost) / n;
  const meanAngle = total(angle) / n;
  const meanSpeed = total(speed) / n;
  let [aa, av, vv, al, vl] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const [a, v, l] = [angle[i] - meanAngle, speed[i] - meanSpeed, lost[i] - mean];
    aa += a * a;
    av += a * v;
    vv += v * v;
    al += a * l;
    vl += v * l;
  }
  const determinant = aa * vv - av * av;
  const byAngle = (al * vv - vl * av) / determinant;
  const bySpeed = (vl * aa - al * av) / determinant;
  let [fitted2, rest2] = [0, 0];
  for (let i = 0; i < n; i++) {
    const fitted = mean + byAngle * (angle[i] - meanAngle) + bySpeed * (speed[i] - meanSpeed);
    fitted2 += fitted * fitted;
    rest2 += (lost[i] - fitted) ** 2;
  }
  return {
    mismatch: Math.sqrt(all / asked2),
    mendable: Math.sqrt(fitted2 / asked2),
    lasting: Math.sqrt(rest2 / asked2),
    stiffnessShift: -byAngle,
    dampingShift: -bySpeed,
    offsetShift: mean - byAngle * meanAngle - bySpeed * meanSpeed,
    asked: Math.sqrt(asked2 / n),
    limited: limited / n,
  };
}

function total(x: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i];
  return sum;
}

function squares(x: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i] * x[i];
  return sum;
}
