import type { Inverter, JointDrive } from '@striderule/engine';
import type { JointFile } from './joint-schema.ts';
import type { Take } from './take-quantity.ts';

/** Losses, current loop and what happens when power is lost; `at` is the joint's path. */
export function electronicsOf(
  e: JointFile['electronics'],
  at: string,
  take: Take,
): Pick<JointDrive, 'inverter' | 'currentBandwidth' | 'lossOfPower'> {
  const inverter: Inverter = {
    ...(e.switchingFrequency && {
      switchingFrequency: take(e.switchingFrequency, `${at}.inverter.switchingFrequency`),
    }),
    ...(e.onResistance && { onResistance: take(e.onResistance, `${at}.inverter.onResistance`) }),
    ...(e.switchingTime && { switchingTime: take(e.switchingTime, `${at}.inverter.switchingTime`) }),
    ...(e.deadTime && {
      deadTime: {
        time: take(e.deadTime.time, `${at}.inverter.deadTime.time`),
        diodeVoltage: take(e.deadTime.diodeVoltage, `${at}.inverter.deadTime.diodeVoltage`),
      },
    }),
    ...(e.quiescentPower && { quiescentPower: take(e.quiescentPower, `${at}.inverter.quiescentPower`) }),
  };
  const short = e.lossOfPower;
  return {
    ...(Object.keys(inverter).length > 0 && { inverter }),
    ...(e.currentBandwidth && {
      currentBandwidth: take(e.currentBandwidth, `${at}.currentBandwidth`),
    }),
    ...(short && {
      lossOfPower: {
        phases: short.phases,
        ...(short.resistance && { resistance: take(short.resistance, `${at}.lossOfPower.resistance`) }),
      },
    }),
  };
}
