import type { Leg } from '@striderule/engine';
import type { SentLeg } from '@striderule/wire';

/** The leg without the numbers that its file does not say: NaN has no JSON. */
export function sentLeg({ busVoltage, ambientTemperature, ...rest }: Leg): SentLeg {
  return {
    ...rest,
    ...(!Number.isNaN(busVoltage) && { busVoltage }),
    ...(!Number.isNaN(ambientTemperature) && { ambientTemperature }),
  };
}
