import type { Bus, CurrentLimit } from '@striderule/engine';
import type { LegFile } from './leg-schema.ts';
import type { Take } from './take-quantity.ts';

/** Battery and bus; its nominal voltage is the leg's. */
export function busOf(b: NonNullable<LegFile['bus']>, take: Take): Bus {
  const limit = (written: NonNullable<typeof b.chargeLimit>, path: string): CurrentLimit =>
    Array.isArray(written)
      ? written.map(({ temperature, current }) => ({ temperature: temperature.si, current: current.si }))
      : take(written, path);
  return {
    ...(b.cellsInSeries && { cellsInSeries: b.cellsInSeries }),
    ...(b.cellsInParallel && { cellsInParallel: b.cellsInParallel }),
    ...(b.openCircuit && {
      openCircuit: b.openCircuit.map(({ charge, voltage }) => ({ charge: charge.si, voltage: voltage.si })),
    }),
    ...(b.resistance && { resistance: take(b.resistance, 'bus.resistance') }),
    ...(b.dischargeLimit && { dischargeLimit: limit(b.dischargeLimit, 'bus.dischargeLimit') }),
    ...(b.chargeLimit && { chargeLimit: limit(b.chargeLimit, 'bus.chargeLimit') }),
    ...(b.capacity && { capacity: take(b.capacity, 'bus.capacity') }),
    ...(b.usableShare && { usableShare: take(b.usableShare, 'bus.usableShare') }),
    ...(b.capacitance && { capacitance: take(b.capacitance, 'bus.capacitance') }),
    ...(b.brakeResistor && {
      brakeResistor: {
        resistance: take(b.brakeResistor.resistance, 'bus.brakeResistor.resistance'),
        threshold: take(b.brakeResistor.threshold, 'bus.brakeResistor.threshold'),
      },
    }),
    ...(b.overVoltage && { overVoltage: take(b.overVoltage, 'bus.overVoltage') }),
  };
}
