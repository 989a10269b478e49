import type { ThighSensor } from '@striderule/engine';
import type { LegFile } from './leg-schema.ts';
import type { Take } from './take-quantity.ts';

const NUMBERS = [
  'angle',
  'roll',
  'turn',
  'poseError',
  'gyroNoise',
  'accelerometerNoise',
  'bias',
  'drift',
  'accelerometerBias',
  'delay',
] as const;

/** The gyro and accelerometer of a leg file; what it leaves out stays out. */
export function thighSensorOf(sensor: NonNullable<LegFile['thighSensor']>, take: Take): ThighSensor {
  const { position, mounting } = sensor;
  return {
    rate: take(sensor.rate, 'thighSensor.rate'),
    ...(position && {
      position: {
        x: take(position.x, 'thighSensor.position.x'),
        z: take(position.z, 'thighSensor.position.z'),
      },
    }),
    ...Object.fromEntries(
      NUMBERS.flatMap((key) => {
        const given = sensor[key];
        return given === undefined ? [] : [[key, take(given, `thighSensor.${key}`)]];
      }),
    ),
    ...(mounting && {
      mounting: {
        frequency: take(mounting.frequency, 'thighSensor.mounting.frequency'),
        damping: take(mounting.damping, 'thighSensor.mounting.damping'),
      },
    }),
  };
}
