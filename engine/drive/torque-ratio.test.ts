import { expect, test } from 'vitest';
import { linearScan, linearScanRoom } from './linear-scan.ts';
import { scanCandidates, setCandidate } from './scan-candidates.ts';
import { scanSamples } from './scan-samples.ts';
import { draws, randomDrive, randomStride } from './test-scan.ts';
import { smallestTorqueRatio } from './torque-ratio.ts';

const uniform = draws(99);

/** A random joint over four strides, and its largest motor torque at a ratio by direct summation. */
function randomCase() {
  const { motor, transmission, ...rest } = randomDrive(uniform);
  const samples = scanSamples(
    { ...rest, transmission },
    Array.from({ length: 4 }, () => randomStride(uniform)),
  );
  const peaks = (ratios: readonly number[]): number[] => {
    const c = scanCandidates(ratios.length);
    ratios.forEach((ratio, n) => {
      setCandidate(c, n, motor, { ...transmission, ratio }, { ...rest, busVoltage: 44, busResistance: 0 });
    });
    const out = linearScanRoom(ratios.length, 4);
    linearScan(samples, c, out);
    return ratios.map((_, n) => Math.max(...out.peakTorque.subarray(4 * n, 4 * n + 4)));
  };
  const free = {
    inertia: motor.rotorInertia + transmission.inputInertia,
    viscous: motor.viscousDrag,
    coulomb: motor.coulombDrag,
    drivingEfficiency: transmission.drivingEfficiency,
    backDrivenEfficiency: transmission.backDrivenEfficiency,
  };
  return { samples, free, peaks };
}

test('at the ratio found the peak is the limit, and at no smaller one within it: 60 random joints, fine grids', () => {
  let none = 0;
  for (let k = 0; k < 60; k++) {
    const { samples, free, peaks } = randomCase();
    const most = 1 + 10 * uniform();
    const { ratio } = smallestTorqueRatio(samples, free, most, 1);
    const top = Number.isFinite(ratio) ? ratio : 300;
    const grid = Array.from({ length: 300 }, (_, i) => top ** ((i + 0.5) / 300));
    for (const peak of peaks(grid)) expect(peak).toBeGreaterThan(most);
    if (Number.isFinite(ratio)) {
      const [peak] = peaks([ratio]);
      expect(Math.abs(peak / most - 1)).toBeLessThan(1e-9);
    } else none++;
  }
  expect(none).toBeGreaterThan(0);
  expect(none).toBeLessThan(60);
});

test('a load without motion: N = τ/(η_f·τ_max) by hand', () => {
  const samples = {
    start: Int32Array.of(0, 2),
    rows: Float64Array.of(120, 0, 0, 0, 0, 0.5, 120, 0, 0, 0, 0, 0.5),
  };
  const free = {
    inertia: 3e-4,
    viscous: 0,
    coulomb: 0.02,
    drivingEfficiency: 0.9,
    backDrivenEfficiency: 0.9,
  };
  const { ratio, task } = smallestTorqueRatio(samples, free, 8, 1);
  expect(ratio).toBeCloseTo(120 / (0.9 * 8), 9);
  expect(task).toBe(0);
  // a limit that is never reached: the ratio asked from, and no task decides
  expect(smallestTorqueRatio(samples, free, 200, 1)).toEqual({ ratio: 1, task: -1 });
});
