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

/**
 * The same flux linkage as a voltage or speed constant.
 *
 * - `phasePeak`   V·s/rad, phase to star point, peak
 * - `linePeak`    V·s/rad, line to line, peak
 * - `lineRms`     V·s/rad, line to line, rms
 * - `rpmPerVolt`  K_v, rpm per line-to-line peak volt
 */
export interface VoltageConstant {
  readonly convention: 'phasePeak' | 'linePeak' | 'lineRms' | 'rpmPerVolt';
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

/** rpm per rad/s. */
const PER_VOLT_RPM = 60 / (2 * Math.PI);

/** K ÷ (p·λ) by convention: τ = 1.5·p·λ·i_q with amplitude-invariant dq; i_rms = î/√2; two-phase-on flat-top machine √3. */
const PER_FLUX = {
  perPhasePeak: 1.5,
  perPhaseRms: 1.5 * Math.SQRT2,
  dcEquivalent: Math.sqrt(3),
  phasePeak: 1,
  linePeak: Math.sqrt(3),
  lineRms: Math.sqrt(1.5),
} as const;

/** Peak phase flux linkage λ, V·s per electrical radian, of a motor with `polePairs` and this torque, voltage or speed constant. */
export function fluxLinkageFrom(constant: TorqueConstant | VoltageConstant, polePairs: number): number {
  if (constant.convention === 'rpmPerVolt') {
    return PER_VOLT_RPM / constant.value / (PER_FLUX.linePeak * polePairs);
  }
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
    kvRpm: PER_VOLT_RPM / (Math.sqrt(3) * pl),
  };
}

/** K_m = τ/√P_Cu = K_t/√(1.5·R), N·m/√W: K_t per peak phase ampere, R phase resistance. The same whatever the convention. */
export const motorConstant = (ktPerPhasePeak: number, phaseResistance: number): number =>
  ktPerPhasePeak / Math.sqrt(1.5 * phaseResistance);

/** Mismatch between a torque constant and a speed or voltage constant that is worth a flag. COMMON PRACTICE. */
export const CONSTANT_MISMATCH = 0.08;

/** How near a ratio must come to a known one to be named after it: half of the least distance between two of them. Our choice. */
const SIGNATURE_TOLERANCE = 0.03;

const AMPERE = {
  perPhasePeak: 'per peak phase ampere',
  perPhaseRms: 'per rms phase ampere',
  dcEquivalent: 'dc-equivalent',
} as const;
const VOLT = { linePeak: 'line-to-line peak', lineRms: 'line-to-line rms', phasePeak: 'phase peak' } as const;

/** What the flux linkage of `constant` would be out by, were it really of another convention of its own kind. */
function mistakes(constant: TorqueConstant | VoltageConstant): { ratio: number; confusion: string }[] {
  const { convention } = constant;
  const stated = convention === 'rpmPerVolt' ? 'linePeak' : convention;
  const [kind, words]: [string, Partial<Record<keyof typeof PER_FLUX, string>>] =
    stated in AMPERE ? ['torque', AMPERE] : ['voltage', VOLT];
  return (Object.keys(words) as (keyof typeof PER_FLUX)[])
    .filter((alt) => alt !== stated)
    .map((alt) => ({
      ratio: PER_FLUX[alt] / PER_FLUX[stated],
      confusion: `a ${kind} constant that is ${words[alt]}, not ${words[stated]}`,
    }));
}

/**
 * Compares two constants of one motor, such as a torque constant and a speed constant: both give a flux linkage, and the ratio of
 * the two is 1 where both conventions are right. Within 8 % they agree. Beyond, every single wrong convention that gives this
 * ratio within 3 % is named, the nearest first:
 *
 *     the first is really `alt`:   ratio = PER_FLUX[alt]/PER_FLUX[stated]     √2, 2/√3, √(3/2), √3 or their inverses
 *     the second is really `alt`:  ratio = PER_FLUX[stated]/PER_FLUX[alt]
 *
 * Some ratios have two explanations; nothing in the numbers tells them apart. Faults: an untagged constant.
 */
export function constantSignature(
  stated: TorqueConstant | VoltageConstant,
  against: VoltageConstant,
): { agrees: boolean; mismatch: number; confusion?: string } {
  const ratio = fluxLinkageFrom(stated, 1) / fluxLinkageFrom(against, 1);
  const mismatch = ratio - 1;
  if (Math.abs(mismatch) <= CONSTANT_MISMATCH) return { agrees: true, mismatch };
  const found = [...mistakes(stated), ...mistakes(against).map((m) => ({ ...m, ratio: 1 / m.ratio }))]
    .map((m) => ({ ...m, distance: Math.abs(ratio / m.ratio - 1) }))
    .filter((m) => m.distance < SIGNATURE_TOLERANCE)
    .sort((x, y) => x.distance - y.distance);
  if (found.length === 0) return { agrees: false, mismatch };
  return { agrees: false, mismatch, confusion: found.map((m) => m.confusion).join(', or ') };
}
