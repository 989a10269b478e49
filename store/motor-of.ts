import { fluxLinkageFrom, type Motor } from '@striderule/engine';
import type { MotorFile } from './joint-schema.ts';
import type { Take } from './take-quantity.ts';

/** Copper, 1/K at 20 °C: IEC 60028 (FROM MEMORY); the motor's own value in the file goes before it. */
const COPPER_COEFFICIENT = 0.00393;
const ROOM = 293.15;

/** What a motor must have for the drive stage, beside its flux linkage or torque constant. */
const NEEDED = [
  'polePairs',
  'resistance',
  'inductanceQ',
  'rotorInertia',
  'coulombDrag',
  'viscousDrag',
  'breakawayDrag',
  'magnetCoefficient',
  'peakCurrent',
  'mass',
] as const;

/** The fields of `NEEDED` that this motor does not have. */
export const lacking = (m: MotorFile): readonly (keyof MotorFile)[] =>
  NEEDED.filter((key) => m[key] === undefined);

/** The engine's motor of a written one that lacks nothing; `at` is its path. */
export function motorOf(m: MotorFile, name: string, at: string, take: Take): Motor {
  const constant = m.torqueConstant;
  const q = (key: Exclude<(typeof NEEDED)[number], 'polePairs'>): number => take(m[key]!, `${at}.${key}`);
  return {
    name,
    polePairs: m.polePairs!,
    fluxLinkage:
      constant === undefined
        ? take(m.fluxLinkage!, `${at}.fluxLinkage`)
        : take(
            constant.value,
            `${at}.fluxLinkage`,
            fluxLinkageFrom({ convention: constant.convention, value: 1 }, m.polePairs!),
          ),
    resistance: q('resistance'),
    referenceTemperature:
      m.referenceTemperature === undefined
        ? ROOM
        : take(m.referenceTemperature, `${at}.referenceTemperature`),
    // non-salient unless the file says otherwise
    inductanceD: m.inductanceD === undefined ? m.inductanceQ!.si : take(m.inductanceD, `${at}.inductanceD`),
    inductanceQ: q('inductanceQ'),
    rotorInertia: q('rotorInertia'),
    ...(m.saturationCurrent && { saturationCurrent: take(m.saturationCurrent, `${at}.saturationCurrent`) }),
    copperCoefficient:
      m.copperCoefficient === undefined
        ? COPPER_COEFFICIENT
        : take(m.copperCoefficient, `${at}.copperCoefficient`),
    magnetCoefficient: q('magnetCoefficient'),
    coulombDrag: q('coulombDrag'),
    viscousDrag: q('viscousDrag'),
    breakawayDrag: q('breakawayDrag'),
    peakCurrent: q('peakCurrent'),
    ...(m.continuousTorque && { continuousTorque: take(m.continuousTorque, `${at}.continuousTorque`) }),
    ...(m.cogging && {
      cogging: {
        amplitude: take(m.cogging.amplitude, `${at}.cogging.amplitude`),
        order: m.cogging.order,
      },
    }),
    ...(m.demagnetisationCurrent && {
      demagnetisationCurrent: take(m.demagnetisationCurrent, `${at}.demagnetisationCurrent`),
    }),
    mass: q('mass'),
  };
}
