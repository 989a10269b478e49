/** A joint whose motor renders a spring and a damper by current alone. SI, all seen at the joint. */
export interface SampledJoint {
  /** N²·(J_m + J_in), N²·b_m and N·τ_c: what turns before the gears. */
  readonly rotorInertia: number;
  readonly rotorDamping: number;
  readonly rotorCoulomb: number;
  /** J_out, b_out, τ_c,out: what turns with the joint, the limb not counted. */
  readonly outputInertia: number;
  readonly outputDamping: number;
  readonly outputCoulomb: number;
  /** K_g, N·m/rad; +∞: rigid gears. */
  readonly gearStiffness: number;
  /** η_f, η_b. */
  readonly drivingEfficiency: number;
  readonly backDrivenEfficiency: number;
  /** Where the angle is measured that the spring acts on. */
  readonly measuredAt: 'motor' | 'joint';
  /** T, s. */
  readonly period: number;
  /** t_d, s: from the sample to the torque's being asked for, encoder included; a whole number of periods or not. */
  readonly delay: number;
  /** τ_i = 1/(2π·f_i) of the current loop, s; 0: none. */
  readonly currentLag: number;
  /** a of the speed's filter v = a·v' + (1 − a)·Δθ/T; 0: the plain difference. */
  readonly filterPole: number;
  /** ε: torque that comes ÷ torque that software believes in, − 1. */
  readonly constantError: number;
}

/** u = K·(θ_eq − θ) − B·v of the software, N·m/rad and N·m·s/rad. */
export interface Gains {
  readonly stiffness: number;
  readonly damping: number;
}

/** a of a first-order filter of speed with this cut-off, Hz:  a = e^(−2π·f_v·T). */
export const filterPole = (cutoff: number, period: number): number =>
  Math.exp(-2 * Math.PI * cutoff * period);

/** b: what the joint damps by itself, N·m·s/rad, mesh lossless. */
export const ownDamping = (joint: SampledJoint): number => joint.rotorDamping + joint.outputDamping;

/** Inertia of the joint without its limb, kg·m². */
export const ownInertia = (joint: SampledJoint): number => joint.rotorInertia + joint.outputInertia;

/** T_tot = T/2 + t_d + τ_i, s: the age of the torque, with half a period of holding. */
export const loopAge = (joint: SampledJoint): number => joint.period / 2 + joint.delay + joint.currentLag;
