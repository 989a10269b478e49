import { expect, test } from 'vitest';
import {
  aWeighting,
  backgroundCorrection,
  distanceCorrection,
  levelSum,
  soundLevels,
  soundSensitivity,
} from './sound-level.ts';
import { near } from './test-motor.ts';

/** A-weighting as the standard prints it, nominal frequency, dB: table of IEC 61672-1, seen in open-source acoustics code. */
const PRINTED = [
  [10, -70.4],
  [12.5, -63.4],
  [16, -56.7],
  [20, -50.5],
  [25, -44.7],
  [31.5, -39.4],
  [40, -34.6],
  [50, -30.2],
  [63, -26.2],
  [80, -22.5],
  [100, -19.1],
  [125, -16.1],
  [160, -13.4],
  [200, -10.9],
  [250, -8.6],
  [315, -6.6],
  [400, -4.8],
  [500, -3.2],
  [630, -1.9],
  [800, -0.8],
  [1000, 0],
  [1250, 0.6],
  [1600, 1.0],
  [2000, 1.2],
  [2500, 1.3],
  [3150, 1.2],
  [4000, 1.0],
  [5000, 0.5],
  [6300, -0.1],
  [8000, -1.1],
  [10000, -2.5],
  [12500, -4.3],
  [16000, -6.6],
  [20000, -9.3],
] as const;

test.each(PRINTED)(
  'DRV-N3 A-weighting at a nominal %f Hz is the printed %f dB to its last digit',
  (nominal, printed) => {
    // nominal names stand for 1000·10^(n/10)
    const n = Math.round(10 * Math.log10(nominal / 1000));
    expect(Math.abs(aWeighting(1000 * 10 ** (n / 10)) - printed)).toBeLessThanOrEqual(0.05 + 1e-9);
  },
);

test('DRV-N3 at 360 Hz', () => {
  near(aWeighting(360), -5.5691);
  expect(aWeighting(0)).toBe(Number.NEGATIVE_INFINITY);
});

test('DRV-N4 three tones together', () => {
  const tones = [
    [300, 50],
    [900, 46],
    [2500, 40],
  ] as const;
  near(levelSum(tones.map(([f, level]) => level + aWeighting(f))), 48.4424);
  near(levelSum(tones.map(([, level]) => level)), 51.7554);
});

const RATE = 48_000;
const sound = (
  seconds: number,
  tones: readonly (readonly [amplitude: number, frequency: number])[],
): Float64Array =>
  Float64Array.from({ length: seconds * RATE }, (_, i) =>
    tones.reduce((sum, [a, f]) => sum + a * Math.sin((2 * Math.PI * f * i) / RATE), 0),
  );
const calibrator = sound(2, [[0.1 * Math.SQRT2, 1000]]);
const recording = sound(2, [
  [0.002, 300],
  [0.001, 900],
  [0.0005, 2500],
]);

test('DRV-N5 level of a calibrated recording', () => {
  const sensitivity = soundSensitivity(calibrator, 94);
  near(sensitivity, 10.0237);
  const levels = soundLevels(recording, RATE, sensitivity);
  // within 0.005 dB, as the check is printed relative to 1e-4
  near(levels.weighted, 54.0999);
  near(levels.plain, 58.1913);
});

test('the calibrator reads its own level, weighted and plain, with an offset on it', () => {
  const shifted = calibrator.map((x) => x + 0.05);
  const levels = soundLevels(shifted, RATE, soundSensitivity(calibrator, 94));
  near(levels.plain, 94, 1e-9);
  // the spread of a block's bin over its neighbours is all that is left
  near(levels.weighted, 94, 1e-6);
});

test('a recording shorter than a block, and one at 44.1 kHz with a high tone that bilinear filters get wrong', () => {
  const short = sound(0.1, [[0.01, 1000]]);
  const levels = soundLevels(short, RATE, 1);
  near(levels.weighted, levels.plain, 1e-4);
  const rate = 44_100;
  const high = Float64Array.from({ length: rate }, (_, i) => Math.sin((2 * Math.PI * 15_849 * i) / rate));
  const { weighted, plain } = soundLevels(high, rate, 1);
  expect(Math.abs(weighted - plain - -6.6)).toBeLessThan(0.05);
});

test('silence has no level', () => {
  expect(soundLevels(new Float64Array(1000), RATE, 1)).toEqual({
    plain: Number.NEGATIVE_INFINITY,
    weighted: Number.NEGATIVE_INFINITY,
  });
});

test('DRV-N6 background, distance, sum of two', () => {
  near(backgroundCorrection(6), 1.25628);
  // what is left and the background make the whole again
  near(levelSum([60 - backgroundCorrection(6), 54]), 60, 1e-12);
  expect(backgroundCorrection(2.9)).toBeNaN();
  near(distanceCorrection(1, 0.5), 6.0206);
  near(levelSum([48, 45]), 49.7643);
});
