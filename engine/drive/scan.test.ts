// The kernels against `driveLoad` and against plain sums over its curves, on random candidates.
import { describe, expect, test } from 'vitest';
import { curveMean } from '../numeric/trapezoid.ts';
import { type DriveLoad, driveLoad, type JointTrajectory } from './drive-load.ts';
import { fullScan, fullScanRoom } from './full-scan.ts';
import type { JointDrive, Motor } from './leg-drive.ts';
import { linearScan, linearScanRoom } from './linear-scan.ts';
import { currentFor } from './motor-torque.ts';
import { type ScanSupply, scanCandidates, setCandidate } from './scan-candidates.ts';
import { scanSamples } from './scan-samples.ts';
import { motor } from './test-motor.ts';
import { draws, randomDrive, randomMotor, randomStride } from './test-scan.ts';
import { phaseVoltageLimit, speedLimit } from './voltage-limit.ts';

const STIFF = { busVoltage: 44, busResistance: 0 };
const TASKS = 3;

/** `of` per `scale` of it that is the same within 1e-12; both missing or both without bound is the same. */
function same(got: number, want: number, what: string, scale = Math.abs(want)): void {
  if (Object.is(got, want)) return;
  expect(Math.abs(got - want), `${what}: ${got} against ${want}`).toBeLessThanOrEqual(1e-12 * scale);
}

/** 42 random joints with 25 random candidates each, 3 strides: 1,050 candidates of each model. */
function everyCandidate(
  alter: (motor: Motor) => Motor,
  supply: Pick<ScanSupply, 'busVoltage' | 'busResistance'>,
  judge: (
    at: number,
    drive: JointDrive,
    strides: readonly JointTrajectory[],
    scans: ReturnType<typeof scanBoth>,
  ) => void,
): number {
  const uniform = draws(20261127);
  let judged = 0;
  for (let joint = 0; joint < 42; joint++) {
    const base = randomDrive(uniform);
    const strides = Array.from({ length: TASKS }, () => randomStride(uniform));
    const drives = Array.from({ length: 25 }, () => ({
      ...base,
      motor: alter(randomMotor(uniform)),
      transmission: { ...base.transmission, ratio: 5 + 55 * uniform(), inputInertia: 4e-5 * uniform() },
    }));
    const scans = scanBoth(base, drives, strides, supply);
    drives.forEach((drive, at) => {
      judge(at, drive, strides, scans);
      judged++;
    });
  }
  return judged;
}

function scanBoth(
  base: JointDrive,
  drives: readonly JointDrive[],
  strides: readonly JointTrajectory[],
  bus: Pick<ScanSupply, 'busVoltage' | 'busResistance'>,
) {
  const samples = scanSamples(base, strides);
  const candidates = scanCandidates(drives.length);
  drives.forEach((drive, at) => {
    setCandidate(candidates, at, drive.motor, drive.transmission, { ...drive, ...bus });
  });
  const linear = linearScanRoom(drives.length, strides.length);
  const full = fullScanRoom(drives.length, strides.length);
  linearScan(samples, candidates, linear);
  fullScan(samples, candidates, full);
  return { linear, full };
}

/** Terminal power over the stride from a load's own curves, W. */
const terminalPower = ({ motor: m }: JointDrive, load: DriveLoad): Float64Array =>
  load.motorTorque.map(
    (torque, i) => torque * load.motorSpeed[i] + 1.5 * m.resistance * load.current[i] ** 2,
  );

const positive = (y: Float64Array): Float64Array => y.map((p) => Math.max(p, 0));
const negative = (y: Float64Array): Float64Array => y.map((p) => Math.max(-p, 0));

describe('the full kernel is driveLoad', () => {
  test('on 1,050 random candidates, stiff bus: torque, current, speed margin, heat and energy', () => {
    let beyond = 0;
    const judged = everyCandidate(
      (m) => m,
      STIFF,
      (at, drive, strides, { full }) => {
        strides.forEach((stride, task) => {
          const load = driveLoad(drive, stride, STIFF.busVoltage);
          const k = at * TASKS + task;
          same(full.peakTorque[k], load.peakTorque, 'peak torque');
          same(full.rmsTorque[k], load.rmsTorque, 'rms torque');
          // near saturation a rounding of the torque is a larger one of the current
          const knee =
            drive.motor.saturationCurrent === undefined
              ? 1
              : 1 -
                (load.peakTorque /
                  (1.5 * drive.motor.polePairs * drive.motor.fluxLinkage * drive.motor.saturationCurrent)) **
                  2;
          const slack = 1 / Math.max(knee, 1e-6);
          same(full.peakCurrent[k], load.peakCurrent, 'peak current', load.peakCurrent * slack);
          const power = terminalPower(drive, load);
          if (Number.isNaN(load.peakCurrent)) beyond++;
          else {
            const copper = 1.5 * drive.motor.resistance * curveMean(load.current.map((i) => i * i));
            const flow = curveMean(power.map(Math.abs));
            same(full.copper[k], copper, 'copper', copper * slack);
            same(full.drawn[k], curveMean(positive(power)), 'drawn', flow * slack);
            same(full.returned[k], curveMean(negative(power)), 'returned', flow * slack);
          }
          // where the drop across R is nearly all of the voltage, the limit is a small difference of two large numbers
          const voltage = phaseVoltageLimit(STIFF.busVoltage, drive);
          const drop = Math.abs(load.current[load.speedMarginIndex]) * drive.motor.resistance;
          same(
            full.speedMargin[k],
            load.speedMargin,
            'speed margin',
            (load.speedMargin * slack) / Math.max(1 - drop / voltage, 1e-6),
          );
        });
      },
    );
    expect(judged).toBe(1050);
    // the draw reaches both sides of saturation, or this would prove less than it says
    expect(beyond).toBeGreaterThan(50);
    expect(beyond).toBeLessThan(2000);
  });

  test('a stride without moments has an unloaded speed margin and nothing else', () => {
    const uniform = draws(7);
    const drive = randomDrive(uniform);
    const stride = { ...randomStride(uniform), moment: new Float64Array(201).fill(Number.NaN) };
    const { full, linear } = scanBoth(drive, [drive], [stride], STIFF);
    same(full.speedMargin[0], driveLoad(drive, stride, STIFF.busVoltage).speedMargin, 'unloaded');
    for (const column of [
      full.peakTorque,
      full.rmsTorque,
      full.peakCurrent,
      full.copper,
      full.drawn,
      full.busVoltage,
    ])
      expect(column[0]).toBeNaN();
    for (const column of Object.values(linear)) expect(column[0]).toBeNaN();
  });
});

describe('the linear kernel is driveLoad of a linear motor', () => {
  const linear = ({ saturationCurrent: _, ...m }: Motor): Motor => ({ ...m, inductanceQ: 0 });

  test('on 1,050 random candidates: torque, current, voltage without inductance, heat and energy', () => {
    const judged = everyCandidate(linear, STIFF, (at, drive, strides, scans) => {
      strides.forEach((stride, task) => {
        const load = driveLoad(drive, stride, STIFF.busVoltage);
        const k = at * TASKS + task;
        const { resistance, polePairs, fluxLinkage } = drive.motor;
        same(scans.linear.peakTorque[k], load.peakTorque, 'peak torque');
        same(scans.linear.peakTorque[k] / (1.5 * polePairs * fluxLinkage), load.peakCurrent, 'peak current');
        same(scans.linear.rmsTorque[k], load.rmsTorque, 'rms torque');
        const volts = load.current.map((i, n) =>
          Math.abs(resistance * i + polePairs * fluxLinkage * load.motorSpeed[n]),
        );
        same(scans.linear.peakVoltage[k], Math.max(...volts), 'peak voltage');
        same(scans.linear.copper[k], 1.5 * resistance * curveMean(load.current.map((i) => i * i)), 'copper');
        const power = terminalPower(drive, load);
        const flow = curveMean(power.map(Math.abs));
        same(scans.linear.drawn[k], curveMean(positive(power)), 'drawn', flow);
        same(scans.linear.returned[k], curveMean(negative(power)), 'returned', flow);
      });
    });
    expect(judged).toBe(1050);
  });

  test('and the full kernel is the linear one where nothing saturates, and the bus can do what the voltage asks', () => {
    everyCandidate(linear, STIFF, (at, drive, strides, scans) => {
      strides.forEach((_, task) => {
        const k = at * TASKS + task;
        for (const name of ['peakTorque', 'rmsTorque', 'copper'] as const)
          same(scans.full[name][k], scans.linear[name][k], name);
        const enough = scans.linear.peakVoltage[k] <= phaseVoltageLimit(STIFF.busVoltage, drive);
        // driving instants decide; an instant that brakes asks for less the faster it turns, up to a point
        if (!enough) expect(scans.full.speedMargin[k]).toBeLessThan(1);
      });
    });
  });
});

describe('a bus that sags', () => {
  // DRV-M6's motor at DRV-P12's pack: 36 V behind 0.08 Ω, 60 A; there ω = 111.440 rad/s, V = 32.5192 V, P = 1414.90 W
  const M6 = { ...motor, rotorInertia: 0, coulombDrag: 0, viscousDrag: 0, breakawayDrag: 0 };
  const still = (n: number, value: number): Float64Array => new Float64Array(n).fill(value);

  /** One steady instant of torque and speed on the shaft: ratio 1, mesh without loss. */
  function steady(torque: number, speed: number, busResistance: number) {
    const stride = {
      angle: still(3, 0),
      velocity: still(3, speed),
      acceleration: still(3, 0),
      moment: still(3, torque),
    };
    const joint = {
      ...randomDrive(draws(1)),
      motor: M6,
      modulation: 'spaceVector' as const,
      voltageMargin: 0.95,
    };
    const { parallelSpring: _, ...drive } = joint;
    const transmission = {
      ...drive.transmission,
      ratio: 1,
      inputInertia: 0,
      outputInertia: 0,
      outputCoulomb: 0,
      outputViscous: 0,
      drivingEfficiency: 1,
      backDrivenEfficiency: 1,
    };
    return scanBoth({ ...drive, transmission }, [{ ...drive, transmission }], [stride], {
      busVoltage: 36,
      busResistance,
    });
  }

  test('DRV-P12: at 60 A from 36 V behind 0.08 Ω the margin is 1 at 111.440 rad/s, and the bus 32.5192 V', () => {
    const torque = 8.82;
    for (const [speed, side] of [
      [111.44 * (1 - 1e-4), 1],
      [111.44 * (1 + 1e-4), -1],
    ] as const)
      expect(Math.sign(steady(torque, speed, 0.08).full.speedMargin[0] - 1)).toBe(side);
    const { full } = steady(torque, 111.44, 0.08);
    expect(Math.abs(full.busVoltage[0] / 32.5192 - 1)).toBeLessThan(1e-4);
    expect(Math.abs(full.drawn[0] / 1414.9 - 1)).toBeLessThan(1e-4);
    // DRV-M6: stiff, the same current reaches 127.0564 rad/s
    expect(Math.abs((steady(torque, 111.44, 0).full.speedMargin[0] * 111.44) / 127.0564 - 1)).toBeLessThan(
      1e-4,
    );
  });

  test('power beyond E²/(4·R_b) cannot be had at any voltage: no margin, no bus voltage', () => {
    // 36²/(4·0.3) = 1080 W
    const { full } = steady(8.82, 111.44, 0.3);
    expect(full.speedMargin[0]).toBe(0);
    expect(full.busVoltage[0]).toBeNaN();
  });

  test('every bus voltage solves V = E − R_b·P/V', () => {
    const supply = { busVoltage: 44, busResistance: 0.05 };
    everyCandidate(
      ({ saturationCurrent: _, ...m }) => m,
      supply,
      (at, drive, strides, { full }) => {
        strides.forEach((stride, task) => {
          const power = Math.max(0, ...terminalPower(drive, driveLoad(drive, stride, supply.busVoltage)));
          const V = full.busVoltage[at * TASKS + task];
          if (Number.isNaN(V)) expect(power).toBeGreaterThan(44 ** 2 / 0.2);
          else same(V, 44 - (0.05 * power) / V, 'bus', 44 * Math.max(1, 44 / (V - 22)));
        });
      },
    );
  });

  test('a voltage circle at the sagged bus, instant by instant, gives the same margin', () => {
    const supply = { busVoltage: 44, busResistance: 0.05 };
    everyCandidate(
      ({ saturationCurrent: _, ...m }) => ({ ...m, resistance: m.resistance / 4 }),
      supply,
      (at, drive, strides, { full }) => {
        strides.forEach((stride, task) => {
          const load = driveLoad(drive, stride, 44);
          const power = terminalPower(drive, load);
          const margins = Array.from(power, (P, i) => {
            const need = Math.abs(load.motorSpeed[i]);
            const bus = 22 + Math.sqrt(484 - 0.05 * P);
            const amperes = stride.velocity[i] < 0 ? -load.current[i] : load.current[i];
            const limit = speedLimit(drive.motor, phaseVoltageLimit(bus, drive), amperes);
            return Number.isNaN(limit) ? 0 : need === 0 ? Number.POSITIVE_INFINITY : limit / need;
          });
          const want = Math.min(...margins);
          const got = full.speedMargin[at * TASKS + task];
          // small margins are small differences; 1e-9 of the bus there
          expect(Math.abs(got - want)).toBeLessThanOrEqual(1e-9 * Math.max(1, want));
        });
      },
    );
  });

  test('current of a stalled motor is read from the curve whatever the bus', () => {
    const { full } = steady(6, 0, 0);
    same(full.peakCurrent[0], currentFor(M6, 6), 'current');
  });
});
