import { expect, test } from 'vitest';
import { openStudy } from './open-study.ts';
import { only, spoilt } from './test-spoilt.ts';

const LEG = 'legs/tern.yaml';
const DEG = Math.PI / 180;

test('the demo leg’s thigh sensor, in SI', async () => {
  const { input } = await openStudy(spoilt(LEG, 'angle: 0 deg', 'angle: -3 deg\n  roll: 90 deg'));
  const { thighSensor } = input.leg;
  expect(thighSensor).toEqual({
    rate: 1000,
    position: { x: 0.03, z: -0.39 },
    angle: expect.closeTo(-3 * DEG, 12),
    roll: expect.closeTo(90 * DEG, 12),
    poseError: expect.closeTo(0.5 * DEG, 12),
    gyroNoise: expect.closeTo(0.1 * DEG, 12),
    accelerometerNoise: 0.05,
    bias: expect.closeTo(0.3 * DEG, 12),
    drift: expect.closeTo(0.02 * DEG, 12),
    accelerometerBias: 0.2,
    delay: 0.002,
    mounting: { frequency: 12, damping: 0.2 },
  });
});

test('what it spreads by is kept under its path', async () => {
  const { input } = await openStudy(
    spoilt(
      LEG,
      'bias: 0.3 deg/s',
      'bias: { value: 0.3 deg/s, range: 50 %, basis: assumed, because: a sheet }',
    ),
  );
  const spread = input.spreads.find(({ path }) => path === 'thighSensor.bias');
  expect(spread?.range).toBeCloseTo(0.15 * DEG, 12);
});

test('a rate of 0, one too slow, a delay in the wrong unit, a negative noise: each at its field', async () => {
  expect(await only(spoilt(LEG, 'rate: 1 kHz', 'rate: 0 Hz'))).toMatch(
    'thighSensor.rate: `0 Hz` must be above zero',
  );
  expect(await only(spoilt(LEG, 'rate: 1 kHz', 'rate: 10 Hz'))).toMatch(
    'thighSensor.rate: a thigh read 10 times a second is too slow for a swing. Give at least 50 Hz.',
  );
  expect(await only(spoilt(LEG, 'delay: 2 ms', 'delay: 2 s'))).toMatch(
    'thighSensor.delay: a thigh read 2 s late is no sensor’s delay. Give at most 0.1 s, and look at the unit.',
  );
  expect(await only(spoilt(LEG, 'gyroNoise: 0.1 deg/s', 'gyroNoise: -0.1 deg/s'))).toMatch(
    'thighSensor.gyroNoise',
  );
  expect(await only(spoilt(LEG, 'frequency: { value: 12 Hz', 'frequency: { value: 0 Hz'))).toMatch(
    'thighSensor.mounting.frequency',
  );
});
