import { Fault } from '../quantity/fault.ts';

/**
 * A torque or speed constant with the ampere or volt it belongs to. The same motor has very different numbers, so one without
 * its convention is not a constant.
 *
 * - `perPhasePeak`  N·m per peak phase ampere (what most field-oriented firmware calls i_q)
 * - `perPhaseRms`   N·m per rms phase ampere
 * - `dcEquivalent`  N·m per ampere of a six-step drive; equals the line-to-line peak voltage constant in V·s/rad
 */
export interface TorqueConstant {
  readonly convention: 'perPhasePeak' | 'perPhaseRms' | 'dcEquivalent';
  /** N·m/A */
  readonly value: number;
}

/** Every way a data sheet prints one flux linkage. K_t in N·m/A, K_e in V·s/rad of the shaft, K_v in rpm per line-to-line peak volt. */
export interface MotorConstants {
  readonly kePhasePeak: number;
  readonly keLinePeak: number;
  readonly keLineRms: number;
  readonly ktPerPhasePeak: number;
  readonly ktPerPhaseRms: number;
  readonly ktDcEquivalent: number;
  /** Mean of a six-step drive on a sinusoidal machine. */
  readonly ktSixStep: number;
  readonly kvRpm: number;
}

/** K_t ÷ (p·λ) by convention: τ = 1.5·p·λ·i_q with amplitude-invariant dq; i_rms = î/√2; two-phase-on flat-top machine √3. */
const PER_FLUX: Readonly<Record<TorqueConstant['convention'], number>> = {
  perPhasePeak: 1.5,
  perPhaseRms: 1.5 * Math.SQRT2,
  dcEquivalent: Math.sqrt(3),
};

/** Peak phase flux linkage λ, V·s per electrical radian, of a motor with `polePairs` and this torque constant. */
export function fluxLinkageFrom(constant: TorqueConstant, polePairs: number): number {
  if (!Object.hasOwn(PER_FLUX, constant.convention)) {
    throw new Fault({
      code: 'drive.untagged-torque-constant',
      what: 'A torque constant without its convention is not a constant',
      mend: 'Say per which ampere: perPhasePeak (peak phase current), perPhaseRms (rms phase current) or dcEquivalent (six-step drive)',
    });
  }
  return constant.value / (PER_FLUX[constant.convention] * polePairs);
}

/** All conventions of one motor from its flux linkage λ and pole pairs p. */
export function motorConstants(fluxLinkage: number, polePairs: number): MotorConstants {
  const pl = polePairs * fluxLinkage;
  return {
    kePhasePeak: pl,
    keLinePeak: Math.sqrt(3) * pl,
    keLineRms: Math.sqrt(1.5) * pl,
    ktPerPhasePeak: 1.5 * pl,
    ktPerPhaseRms: 1.5 * Math.SQRT2 * pl,
    ktDcEquivalent: Math.sqrt(3) * pl,
    ktSixStep: (3 / Math.PI) * Math.sqrt(3) * pl,
    kvRpm: 60 / (2 * Math.PI * Math.sqrt(3) * pl),
  };
}

/** K_m = τ/√P_Cu = K_t/√(1.5·R), N·m/√W: K_t per peak phase ampere, R phase resistance. The same whatever the convention. */
export const motorConstant = (ktPerPhasePeak: number, phaseResistance: number): number =>
  ktPerPhasePeak / Math.sqrt(1.5 * phaseResistance);

/** Mismatch between a torque constant and a speed or voltage constant that is worth a flag. COMMON PRACTICE. */
export const CONSTANT_MISMATCH = 0.08;

/** Which confusion would make a stated constant differ from the true one by this factor. */
const SIGNATURES: readonly { readonly factor: number; readonly confusion: string }[] = [
  {
    factor: Math.sqrt(3),
    confusion:
      '√3: an rms torque constant was used as if per peak ampere with phase resistance, or line-to-line for phase',
  },
  { factor: Math.SQRT2, confusion: '√2: rms taken for peak, or phase resistance for line-to-line' },
  {
    factor: Math.sqrt(1.5),
    confusion: '√(3/2): a constant per rms phase ampere taken for the dc-equivalent one',
  },
  {
    factor: 2 / Math.sqrt(3),
    confusion: '2/√3: a dc-equivalent constant taken for one per peak phase ampere',
  },
];

/**
 * Compares a stated torque constant with the one that follows from K_v or K_e under its stated convention.
 * Within 8 % they agree; beyond, the nearest known confusion within 3 % is named, in either direction.
 */
export function constantSignature(
  stated: number,
  expected: number,
): { agrees: boolean; mismatch: number; confusion?: string } {
  const ratio = stated / expected;
  const mismatch = ratio - 1;
  if (Math.abs(mismatch) <= CONSTANT_MISMATCH) return { agrees: true, mismatch };
  const size = Math.max(ratio, 1 / ratio);
  const found = SIGNATURES.find((s) => Math.abs(size / s.factor - 1) < 0.03);
  return { agrees: false, mismatch, ...(found && { confusion: found.confusion }) };
}
