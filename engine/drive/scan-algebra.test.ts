// The algebra against direct summation over every sample, and against points that were left out on purpose.
import { describe, expect, test } from 'vitest';
import { curveMean } from '../numeric/trapezoid.ts';
import { driveLoad } from './drive-load.ts';
import { strideHeat } from './heat-load.ts';
import { linearScan, linearScanRoom } from './linear-scan.ts';
import { type ScanCandidates, scanCandidates, setCandidate } from './scan-candidates.ts';
import { frictionHeat, gramOf, gramScan } from './scan-gram.ts';
import { peakPoints, peakTorqueScan, peakVoltageScan } from './scan-peaks.ts';
import { ROW, scanSamples } from './scan-samples.ts';
import { draws, randomDrive, randomMotor, randomStride } from './test-scan.ts';

const uniform = draws(1201);
const TASKS = 6;
const COUNT = 300;

/** Four random joints with 300 candidates each over six strides. */
const JOINTS = Array.from({ length: 4 }, () => {
  const base = randomDrive(uniform);
  const strides = Array.from({ length: TASKS }, () => randomStride(uniform));
  const samples = scanSamples(base, strides);
  const candidates = scanCandidates(COUNT);
  for (let n = 0; n < COUNT; n++) {
    const t = {
      ...base.transmission,
      ratio: 5 + 55 * uniform(),
      drivingEfficiency: 0.85 + 0.14 * uniform(),
      backDrivenEfficiency: 0.85 + 0.14 * uniform(),
    };
    setCandidate(candidates, n, randomMotor(uniform), t, { ...base, busVoltage: 44, busResistance: 0 });
  }
  const direct = linearScanRoom(COUNT, TASKS);
  linearScan(samples, candidates, direct);
  return { samples, candidates, direct };
});

const worstOf = (direct: Float64Array, n: number): number =>
  Math.max(...direct.subarray(n * TASKS, (n + 1) * TASKS));

const apart = (got: number, want: number, scale = Math.abs(want)): number => Math.abs(got - want) / scale;

describe('against direct summation, 1,200 candidates', () => {
  test('mean square torque and net power by 14 products a task', () => {
    for (const { samples, candidates, direct } of JOINTS) {
      const out = {
        torqueSquare: new Float64Array(COUNT * TASKS),
        netPower: new Float64Array(COUNT * TASKS),
      };
      gramScan(gramOf(samples), candidates, out);
      for (let k = 0; k < COUNT * TASKS; k++) {
        expect(apart(Math.sqrt(out.torqueSquare[k]), direct.rmsTorque[k])).toBeLessThan(1e-12);
        const flow = direct.drawn[k] + direct.returned[k];
        expect(apart(out.netPower[k], direct.drawn[k] - direct.returned[k], flow)).toBeLessThan(1e-12);
      }
    }
  });

  test('heat of friction is that of strideHeat, with and without saturation', () => {
    for (let joint = 0; joint < 40; joint++) {
      const drive = randomDrive(uniform);
      const strides = Array.from({ length: TASKS }, () => randomStride(uniform));
      const one = scanCandidates(1);
      setCandidate(one, 0, drive.motor, drive.transmission, { ...drive, busVoltage: 44, busResistance: 0 });
      const gram = gramOf(scanSamples(drive, strides));
      strides.forEach((stride, task) => {
        const { friction } = strideHeat(drive, stride, driveLoad(drive, stride, 44));
        const got = frictionHeat(gram, task, one, 0, drive.transmission);
        // a small difference of powers as large as |τ·θ̇|
        const scale = curveMean(stride.moment.map((m, i) => Math.abs(m * stride.velocity[i])));
        expect(Math.abs(got - friction)).toBeLessThan(1e-12 * scale);
      });
    }
  });

  test('peak torque and voltage by a few of 1,206 samples', () => {
    for (const { samples, candidates, direct } of JOINTS) {
      const out = new Float64Array(COUNT);
      const torque = peakPoints(samples, candidates, 'torque');
      peakTorqueScan(torque, candidates, out);
      for (let n = 0; n < COUNT; n++)
        expect(apart(out[n], worstOf(direct.peakTorque, n))).toBeLessThan(1e-12);
      const voltage = peakPoints(samples, candidates, 'voltage');
      peakVoltageScan(voltage, candidates, out);
      for (let n = 0; n < COUNT; n++)
        expect(apart(out[n], worstOf(direct.peakVoltage, n))).toBeLessThan(1e-12);
      // that many cannot be: the worth of the whole
      expect(torque.length / 5).toBeLessThan(samples.rows.length / ROW / 4);
      expect(voltage.length / 5).toBeLessThan(samples.rows.length / ROW / 4);
    }
  });
});

describe('the points that are kept', () => {
  const subset = (c: ScanCandidates, at: number): ScanCandidates => ({
    ...(Object.fromEntries(
      Object.entries(c).map(([name, column]) =>
        column instanceof Float64Array ? [name, column.slice(at, at + 1)] : [name, column],
      ),
    ) as unknown as ScanCandidates),
    count: 1,
  });

  test('for one candidate alone, one point is left: its peak', () => {
    const [{ samples, candidates, direct }] = JOINTS;
    for (let n = 0; n < 20; n++) {
      const one = subset(candidates, n);
      const points = peakPoints(samples, one, 'torque');
      const out = new Float64Array(1);
      peakTorqueScan(points, one, out);
      expect(points.length).toBe(5);
      expect(apart(out[0], worstOf(direct.peakTorque, n))).toBeLessThan(1e-12);
    }
  });

  test('points of one candidate do not serve others: the box must hold them all', () => {
    const missed = JOINTS.flatMap(({ samples, candidates, direct }) => {
      const out = new Float64Array(COUNT);
      peakVoltageScan(peakPoints(samples, subset(candidates, 0), 'voltage'), candidates, out);
      return Array.from(out).filter((peak, n) => peak < worstOf(direct.peakVoltage, n) * 0.99);
    });
    expect(missed.length).toBeGreaterThan(0);
  });
});
