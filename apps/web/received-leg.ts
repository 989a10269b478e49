import type { Leg } from '@striderule/engine';
import type { SentLeg } from '@striderule/wire';

/** The leg as the engine reads it: what its file does not say is NaN there. */
export const receivedLeg = (leg: SentLeg): Leg => ({
  ...leg,
  busVoltage: leg.busVoltage ?? Number.NaN,
  ambientTemperature: leg.ambientTemperature ?? Number.NaN,
});
