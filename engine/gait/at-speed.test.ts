import { referenceStrides } from '@striderule/reference';
import { expect, test } from 'vitest';
import { speedClasses, strideAtSpeed } from './at-speed.ts';
import { sampleCurve } from './curve.ts';
import { strideTimeAt } from './temporal-spatial.ts';

const strides = referenceStrides();
const wearer = { height: 1.75 };

test('interpolation returns the classes at their own speeds, and says its error', () => {
  const classes = speedClasses(strides);
  expect(classes.map((s) => s.id)).toEqual(['walk-slow', 'walk-natural', 'walk-fast']);
  const own = strideAtSpeed(classes, 1.22, wearer, 'overground');
  const [mixed, published] = [own.stride, strides['walk-natural']].map(
    (x) => sampleCurve(x.joints.knee!.moment!).value,
  );
  mixed.forEach((m, i) => {
    expect(m).toBeCloseTo(published[i], 12);
  });
  expect(own.leaveOneOut).toHaveLength(6);
  for (const e of own.leaveOneOut) expect(e.rmsShareOfRange).toBeGreaterThan(0);
  expect(own.notes[1]).toMatch(
    /^Error of doing so, from leaving walk-natural out: at most \d+\.\d % of range RMS \(hip angle \d\.\d %, moment \d\.\d %; knee/,
  );
  expect(() => strideAtSpeed(classes.slice(1), 1.5, wearer, 'treadmill')).toThrow(
    'Interpolating in speed needs three level-walking strides with all moments, there are 2. Add the reference strides to the study',
  );
  expect(strideAtSpeed([...classes].reverse(), 1.5, wearer, 'treadmill').stride.joints).toEqual(
    strideAtSpeed(classes, 1.5, wearer, 'treadmill').stride.joints,
  );
  expect(() => strideAtSpeed(classes, 2.4, wearer, 'treadmill')).toThrow(
    '2.4 m/s is outside the 0.842–1.974 m/s for which strides are known. Choose a speed from 0.842 to 1.974 m/s, or record strides at this speed.',
  );
});

// The same source's fourth class, 1.193 m/s, took no part in the interpolation. Printed peaks of its group means.
test('between the classes, the peaks of a class that was left out come within the stated error', () => {
  const { stride, leaveOneOut } = strideAtSpeed(speedClasses(strides), 1.193, wearer, 'overground');
  const worst = Math.max(...leaveOneOut.map((e) => e.rmsShareOfRange));
  const check = (value: Float64Array, printed: number, sign: 1 | -1) => {
    const peak = sign * Math.max(...value.map((x) => sign * x));
    const range = Math.max(...value) - Math.min(...value);
    expect(Math.abs(peak - printed)).toBeLessThan(worst * range);
  };
  const { hip, knee, ankle } = stride.joints;
  check(sampleCurve(hip!.moment!).value, 0.72, 1);
  check(sampleCurve(knee!.moment!).value, -0.39, -1);
  check(sampleCurve(ankle!.moment!).value, -1.31, -1);
  check(sampleCurve(knee!.angle).value, (63 * Math.PI) / 180, 1);
  check(sampleCurve(ankle!.angle).value, (-18.2 * Math.PI) / 180, -1);
});

// Class means of the same source, 1.71 m tall: stride time 1.10 s at 1.22 m/s overground; the regression's scatter is 6 %.
test('the overground regression gives the published stride time at 1.22 m/s within its scatter', () => {
  expect(Math.abs(strideTimeAt(1.22, 1.71, 'overground') / 1.1 - 1)).toBeLessThan(0.06);
  // Camargo and others (2021): 1.037 s at 1.20 m/s on the treadmill
  expect(Math.abs(strideTimeAt(1.2, 1.71, 'treadmill') / 1.037 - 1)).toBeLessThan(0.06);
  expect(() => strideTimeAt(3, 1.75, 'treadmill')).toThrow(
    '3 m/s is outside the 0.39–1.77 m/s of the treadmill stride-length regression. Choose a speed from 0.39 to 1.77 m/s, or record strides at this speed.',
  );
  expect(() => strideTimeAt(1.9, 1.75, 'treadmill')).toThrow(
    'Choose a speed from 0.39 to 1.77 m/s, walk overground, or record',
  );
  expect(() => strideTimeAt(1.2, Number.NaN, 'treadmill')).toThrow(
    "A stature is a length above 0, not NaN m. Give the wearer's height in metres.",
  );
});
