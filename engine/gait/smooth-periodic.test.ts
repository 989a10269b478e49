import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sampleCurve } from './curve.ts';
import { cutOffChoices } from './cut-off.ts';
import { harmonicsWithin, smoothPeriodic } from './smooth-periodic.ts';

// NumPy 2.4 and SciPy 1.17; script reference/numeric/smooth-periodic.py
const scipy = JSON.parse(
  readFileSync(new URL('../../reference/numeric/smooth-periodic.json', import.meta.url), 'utf8'),
) as {
  signal: number[];
  cases: { harmonics: number; smoothed: number[]; slope: number[]; curvature: number[] }[];
  residual: { harmonics: number; rms: number }[];
};
const closed = [...scipy.signal, scipy.signal[0]];

for (const { harmonics, ...want } of scipy.cases) {
  test(`${harmonics} harmonics kept as by NumPy's FFT, differentiated as by SciPy`, () => {
    const got = sampleCurve(smoothPeriodic(closed, harmonics));
    for (let i = 0; i < 200; i++) {
      expect(got.value[i]).toBeCloseTo(want.smoothed[i], 10);
      expect(got.slope[i]).toBeCloseTo(want.slope[i], 9);
      expect(got.curvature[i]).toBeCloseTo(want.curvature[i], 8);
    }
  });
}

test('residuals of the cut-off choices are those of the FFT', () => {
  const range = Math.max(...scipy.signal) - Math.min(...scipy.signal);
  const y = Float64Array.from(closed);
  for (const { harmonics, rms } of scipy.residual) {
    // a stride of 1 s: the cut-off in Hz is the number of harmonics
    const row = cutOffChoices({ 'knee.angle': y }, 1, harmonics, 99).find((c) => c.harmonics === harmonics);
    // the repeated end counts once more among 201 samples
    const first = scipy.signal[0] - sampleCurve(smoothPeriodic(y, harmonics)).value[0];
    const both = Math.sqrt((200 * rms ** 2 + first ** 2) / 201);
    expect(row?.residual['knee.angle']).toBeCloseTo(both / range, 10);
  }
});

const wave = (k: number, a: number, phase: number, samples = 201) =>
  Float64Array.from(
    { length: samples },
    (_, i) => a * Math.cos((2 * Math.PI * k * i) / (samples - 1) + phase),
  );

describe('a pure harmonic', () => {
  test('below the cut-off passes unchanged, with its exact derivatives and no phase shift', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 30 }),
        fc.double({ min: 0.1, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 6, noNaN: true }),
        (k, a, phase) => {
          // ends rounded to the same number, so that it closes
          const y = wave(k, a, phase);
          y[200] = y[0];
          const got = sampleCurve(smoothPeriodic(y, 30));
          const w = (2 * Math.PI * k) / 100;
          for (let i = 0; i < 201; i++) {
            const at = (w * i) / 2 + phase;
            expect(got.value[i]).toBeCloseTo(a * Math.cos(at), 10);
            expect(got.slope[i]).toBeCloseTo(-a * w * Math.sin(at), 9);
            expect(got.curvature[i]).toBeCloseTo(-a * w * w * Math.cos(at), 8);
          }
        },
      ),
      { seed: 4, numRuns: 40 },
    );
  });

  test('above the cut-off is gone', () => {
    const y = wave(12, 3, 0.4);
    y[200] = y[0];
    for (const v of sampleCurve(smoothPeriodic(y, 11)).value) expect(v).toBeCloseTo(0, 12);
  });
});

test('what does not close keeps the line between its ends as drift and is followed to the end', () => {
  const y = Float64Array.from(
    { length: 201 },
    (_, i) => 2 + (3 * i) / 200 + Math.sin((2 * Math.PI * i) / 200),
  );
  const series = smoothPeriodic(y, 3);
  expect(series.drift).toBeCloseTo(3, 12);
  expect(series.sin[0]).toBeCloseTo(1, 12);
  sampleCurve(series).value.forEach((v, i) => {
    expect(v).toBeCloseTo(y[i], 12);
  });
});

test('smoothing twice is smoothing once', () => {
  const once = sampleCurve(smoothPeriodic(closed, 8)).value;
  const twice = sampleCurve(smoothPeriodic(once, 8)).value;
  twice.forEach((v, i) => {
    expect(v).toBeCloseTo(once[i], 12);
  });
});

test('the harmonics a cut-off keeps: floor(cut-off × stride time), not one fewer for rounding', () => {
  expect(harmonicsWithin(6, 1.1)).toBe(6);
  expect(harmonicsWithin(10, 1.1)).toBe(11);
  expect(harmonicsWithin(4.35, 100)).toBe(435); // 4.35·100 = 434.99999999999994 in doubles
  expect(harmonicsWithin(0.5, 1.1)).toBe(0);
});

test('more harmonics than half the samples are refused', () => {
  expect(() => smoothPeriodic(wave(1, 1, 0, 21), 10)).toThrow(
    '20 samples carry fewer than 10 harmonics, not 10',
  );
});

test('push-off: a cut-off that keeps the whole power bump and one that halves it, against the closed form', () => {
  // M = −cos(θ-bump): with angle A·sin(5·2πp) and moment B·cos(5·2πp), power is 5·2π/T·A·B·cos², peak 10π·A·B/T
  const angle = Float64Array.from({ length: 201 }, (_, i) => 0.1 * Math.sin((10 * Math.PI * i) / 200));
  const moment = Float64Array.from({ length: 201 }, (_, i) => 1.5 * Math.cos((10 * Math.PI * i) / 200));
  angle[200] = angle[0];
  moment[200] = moment[0];
  const rows = cutOffChoices({ 'ankle.angle': angle, 'ankle.moment': moment }, 1.2, 5, 60);
  const at = (cutOff: number) => rows.find((row) => row.cutOff === cutOff);
  expect(at(5)?.peakPower.ankle).toBeCloseTo((10 * Math.PI * 0.1 * 1.5) / 1.2, 10);
  expect(at(4)?.peakPower.ankle).toBeCloseTo(0, 10);
  expect(at(4)?.residual['ankle.moment']).toBeCloseTo(Math.SQRT1_2 / 2, 2);
});
