import type { JointDrive, Motor, Transmission } from './leg-drive.ts';
import { phaseVoltageLimit } from './voltage-limit.ts';

/** What stands before motor and ratio: the electronics' voltage, and the bus. */
export interface ScanSupply extends Pick<JointDrive, 'modulation' | 'voltageMargin'> {
  /** Voltage without load, V. */
  readonly busVoltage: number;
  /** Ω between that voltage and the bus; 0 for a stiff bus. */
  readonly busResistance: number;
}

/**
 * Candidates as columns of the numbers that the kernels multiply with, one entry each. Plain arrays, so that millions of them are a
 * few arrays and not millions of objects.
 */
export interface ScanCandidates {
  readonly count: number;
  /** N */
  readonly ratio: Float64Array;
  /** 1/(N·η_f) and η_b/N. */
  readonly driving: Float64Array;
  readonly driven: Float64Array;
  /** N·(J_m + J_in), kg·m². */
  readonly inertia: Float64Array;
  /** N·b, N·m·s/rad, on the shaft per joint speed. */
  readonly viscous: Float64Array;
  /** τ_c, N·m. */
  readonly coulomb: Float64Array;
  /** K_t, N·m/A peak phase, without saturation. */
  readonly torqueConstant: Float64Array;
  /** 1/(K_t·I_s), 1/(N·m): 0 without saturation. */
  readonly saturation: Float64Array;
  /** R, Ω. */
  readonly resistance: Float64Array;
  /** λ, V·s; L_q, H; p. */
  readonly fluxLinkage: Float64Array;
  readonly inductance: Float64Array;
  readonly polePairs: Float64Array;
  /** Peak phase voltage per volt of the bus. */
  readonly voltageShare: Float64Array;
  /** V and Ω of the bus. */
  readonly busVoltage: Float64Array;
  readonly busResistance: Float64Array;
}

/** Room for so many candidates, to be filled by `setCandidate`. */
export function scanCandidates(count: number): ScanCandidates {
  const column = (): Float64Array => new Float64Array(count);
  return {
    count,
    ratio: column(),
    driving: column(),
    driven: column(),
    inertia: column(),
    viscous: column(),
    coulomb: column(),
    torqueConstant: column(),
    saturation: column(),
    resistance: column(),
    fluxLinkage: column(),
    inductance: column(),
    polePairs: column(),
    voltageShare: column(),
    busVoltage: column(),
    busResistance: column(),
  };
}

/** Writes candidate `at`: this motor through these gears. */
export function setCandidate(
  into: ScanCandidates,
  at: number,
  motor: Motor,
  t: Pick<Transmission, 'ratio' | 'drivingEfficiency' | 'backDrivenEfficiency' | 'inputInertia'>,
  supply: ScanSupply,
): void {
  const constant = 1.5 * motor.polePairs * motor.fluxLinkage;
  into.ratio[at] = t.ratio;
  into.driving[at] = 1 / (t.ratio * t.drivingEfficiency);
  into.driven[at] = t.backDrivenEfficiency / t.ratio;
  into.inertia[at] = t.ratio * (motor.rotorInertia + t.inputInertia);
  into.viscous[at] = motor.viscousDrag * t.ratio;
  into.coulomb[at] = motor.coulombDrag;
  into.torqueConstant[at] = constant;
  into.saturation[at] = motor.saturationCurrent === undefined ? 0 : 1 / (constant * motor.saturationCurrent);
  into.resistance[at] = motor.resistance;
  into.fluxLinkage[at] = motor.fluxLinkage;
  into.inductance[at] = motor.inductanceQ;
  into.polePairs[at] = motor.polePairs;
  into.voltageShare[at] = phaseVoltageLimit(1, supply);
  into.busVoltage[at] = supply.busVoltage;
  into.busResistance[at] = supply.busResistance;
}
