import type { Leg, Spread } from '@striderule/engine';
import { fingerprint } from '@striderule/store';
import type { LegsPayload, SentLeg } from '@striderule/wire';

/** The leg without the numbers that its file does not say: NaN has no JSON. */
export function sentLeg({ busVoltage, ambientTemperature, ...rest }: Leg): SentLeg {
  return {
    ...rest,
    ...(!Number.isNaN(busVoltage) && { busVoltage }),
    ...(!Number.isNaN(ambientTemperature) && { ambientTemperature }),
  };
}

/** A leg of the study beside its own, and what tells whether its file still says so. */
export function legAsSent(read: Leg, spreads: readonly Spread[]): Omit<LegsPayload['legs'][number], 'name'> {
  const leg = sentLeg(read);
  return { leg, spreads, fingerprint: fingerprint({ leg, spreads }) };
}
