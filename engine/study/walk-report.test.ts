import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import { walkRun } from '../walk/walk-run.ts';
import { walkStrides } from '../walk/walk-strides.ts';
import { type WalkChoice, walkPlan } from './walk-plan.ts';
import { type WalkReport, walkReport } from './walk-report.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);

function walked(choice: WalkChoice, strides = 20): WalkReport {
  const report = walkReport(input, choice, { step: 2.5e-4, strides });
  if ('openBecause' in report) throw new Error(report.openBecause);
  return report;
}

const walks = [0.8, 1.1, 1.4].map((speed) => walked({ speed }));

describe('the demo leg walks 20 strides', () => {
  test.each(walks.map((report) => [report.speed, report] as const))(
    'at %s m/s: without falling, evenly, its energy balanced',
    (_, report) => {
      expect(report.fell).toBeUndefined();
      expect(report.strides).toHaveLength(19);
      // contacts spread by less than a hundredth of the stride
      const times = report.strides.slice(2).map(({ duration }) => duration);
      const mean = times.reduce((sum, t) => sum + t, 0) / times.length;
      const deviation = Math.sqrt(times.reduce((sum, t) => sum + (t - mean) ** 2, 0) / times.length);
      expect(deviation).toBeLessThan(0.01 * mean);
      expect(report.audit.share).toBeLessThan(0.002);
      expect(report.strides.every(({ faults }) => faults === 0)).toBe(true);
    },
  );

  test.each(walks.map((report) => [report.speed, report] as const))(
    'at %s m/s: vertical force within 0.15 body weights of the stride’s own, knee 55–70°, ankle work between passive and intact',
    (_, report) => {
      const by = Object.fromEntries(report.checks.map((check) => [check.what, check]));
      expect(by['peak of the vertical force']!.holds).toBe(true);
      expect(by['knee flexion in swing']!.holds).toBe(true);
      expect(by['knee flexion in swing']!.low).toBe(55);
      expect(by['positive work of the ankle']!.holds).toBe(true);
    },
  );

  test('guide force: within a tenth of the weight', () => {
    const guide = walks.map((report) => report.checks.find(({ what }) => what.startsWith('guide'))!);
    expect(guide.map(({ holds }) => holds)).toEqual([true, true, true]);
    expect(guide.map(({ high }) => high)).toEqual([0.1, 0.1, 0.1]);
  });

  test('guide force: no more than a fiftieth of the weight on average, whichever way it points', () => {
    for (const { speed } of walks) {
      const plan = walkPlan(input, { speed });
      if ('openBecause' in plan) throw new Error(plan.openBecause);
      const log = walkRun(plan.setup, 5e-4, 6);
      const from = Math.round((2 * log.strideTime) / log.period);
      const rows = Math.round((3 * log.strideTime) / log.period);
      let sum = 0;
      for (let i = from; i < from + rows; i++) sum += log.table[i * LOG_WIDTH + LOG.guide]!;
      expect(Math.abs(sum / rows)).toBeLessThan(0.02 * plan.setup.course.weight);
    }
  });

  test('published work of the ankle at 1.4 m/s is the printed one, and between speeds it lies between', () => {
    const at = (report: WalkReport) => report.checks.find(({ what }) => what.startsWith('positive work'))!;
    // Hood and others 2020: passive 0.223, intact 0.543 J/kg at 1.4; 0.152 and 0.268 at 0.8
    expect([at(walks[2]!).low, at(walks[2]!).high]).toEqual([0.223, 0.543]);
    expect([at(walks[0]!).low, at(walks[0]!).high]).toEqual([0.152, 0.268]);
    expect(at(walks[1]!).low).toBeCloseTo((0.178 + 0.201) / 2, 12);
    expect(at(walks[1]!).high).toBeCloseTo((0.358 + 0.462) / 2, 12);
  });
});

describe('a stride’s numbers', () => {
  const plan = walkPlan(input, { speed: 1.1 });
  if ('openBecause' in plan) throw new Error(plan.openBecause);
  const log = walkRun(plan.setup, 2.5e-4, 5);
  const strides = walkStrides(log, {
    knee: plan.setup.knee.reference,
    ankle: plan.setup.ankle.reference,
    supply: plan.setup.supply,
  });
  const one = strides[2]!;

  test('net work of the joints is what motors, friction and stops did: rotors come back to their speed', () => {
    const joints =
      one.knee.positiveWork + one.knee.negativeWork + one.ankle.positiveWork + one.ankle.negativeWork;
    const drives =
      one.works.motors + one.works['joint friction'] + one.works.springs + one.works['end stops'];
    expect(Math.abs(joints - drives)).toBeLessThan(0.03 * (one.ankle.positiveWork - one.knee.negativeWork));
  });

  test('hip work by the rows is hip work by the steps', () => {
    const net = one.hip.positiveWork + one.hip.negativeWork;
    expect(Math.abs(net - one.works['hip torque'])).toBeLessThan(0.02 * one.hip.positiveWork);
  });

  test('cells give what the bus draws and their own loss; shared is no more than either side has', () => {
    const rows = [];
    for (let i = 0; i < log.rows; i++) rows.push(log.table.subarray(i * LOG_WIDTH, (i + 1) * LOG_WIDTH));
    const inside = rows.filter(
      (r) => r[LOG.time]! >= one.time - 1e-9 && r[LOG.time]! < one.time + one.duration - 1e-9,
    );
    const { openCircuitVoltage: E, resistance: R } = plan.setup.supply;
    let [drawn, loss, drawing, returning] = [0, 0, 0, 0];
    for (const r of inside) {
      const watts = r[LOG.kneePower]! + r[LOG.anklePower]! + r[LOG.busVoltage]! * r[LOG.busPerVolt]!;
      const amperes = (E - r[LOG.busVoltage]!) / R;
      drawn += watts * log.period;
      loss += R * amperes * amperes * log.period;
      for (const power of [r[LOG.kneePower]!, r[LOG.anklePower]!])
        if (power > 0) drawing += power * log.period;
        else returning -= power * log.period;
    }
    const burnt = one.energy.burnt;
    expect(Math.abs(one.energy.cells - (drawn + loss + burnt))).toBeLessThan(0.02 * drawing);
    expect(one.energy.shared).toBeGreaterThan(0);
    expect(one.energy.shared).toBeLessThan(Math.min(drawing, returning));
    expect(one.energy.lowestVoltage).toBeLessThan(E);
  });

  test('the lag is the time by which a joint trails the stride: seen on a log made late by 20 ms', () => {
    const table = log.table.slice();
    const { strideTime, period } = log;
    for (let i = 0; i < log.rows; i++) {
      const place = table[i * LOG_WIDTH + LOG.place]! - 0.02 / strideTime;
      table[i * LOG_WIDTH + LOG.knee] = plan.setup.knee.reference(place - Math.floor(place)).angle;
    }
    const late = walkStrides(
      { ...log, table },
      {
        ...plan.setup.knee,
        knee: plan.setup.knee.reference,
        ankle: plan.setup.ankle.reference,
        supply: plan.setup.supply,
      },
    )[2]!;
    expect(late.knee.lag).toBeGreaterThan(0.018);
    expect(late.knee.lag).toBeLessThan(0.021);
    expect(period).toBe(1e-3);
  });

  test('push-off is what the ankle gave after its greatest dorsiflexion: less than it was scheduled to, and no more than all it gave', () => {
    const report = walked({ speed: 1.1 }, 5);
    expect(one.pushOff.work).toBeGreaterThan(0);
    expect(one.pushOff.work).toBeLessThan(one.ankle.positiveWork);
    expect(report.steady!.scheduledPushOff).toBeGreaterThan(report.steady!.pushOff);
    expect(one.pushOff.load).toBeLessThan(0.05 * report.weight);
    expect(one.pushOff.thigh).toBeLessThan(0);
  });

  test('same inputs, same bytes, same fingerprint; another leg another one', () => {
    const fingerprint = (of: typeof input) => {
      const report = walkReport(of, { speed: 1.1 }, { step: 5e-4, strides: 2 });
      return 'openBecause' in report ? report.openBecause : report.fingerprint;
    };
    const heavier = {
      ...input,
      leg: {
        ...input.leg,
        segments: { ...input.leg.segments, foot: { ...input.leg.segments.foot, mass: 1.2 } },
      },
    };
    expect(fingerprint(input)).toBe(fingerprint(input));
    expect(fingerprint(heavier)).not.toBe(fingerprint(input));
  });

  test('a bracket: with the hip leading the thigh it pulls off more softly, and the walk still stands', () => {
    const led = walked({ speed: 1.1, thigh: 'led' }, 8);
    expect(led.fell).toBeUndefined();
    expect(led.steady!.pullOff).toBeLessThan(walks[1]!.steady!.pullOff);
  });
});

describe('the controller that the study names, as data', () => {
  test.each(['prescribed', 'led'] as const)(
    'walks the natural stride with the thigh %s: evenly, no fault, contacts a stride apart',
    (thigh) => {
      const report = walked({ speed: 1.22, thigh, control: 'study' }, 10);
      expect(report.fell).toBeUndefined();
      expect(report.strides).toHaveLength(9);
      for (const stride of report.strides.slice(2)) {
        expect(stride.faults).toBe(0);
        expect(Math.abs(stride.duration - report.strideTime)).toBeLessThan(0.01 * report.strideTime);
        expect(stride.stance).toBeGreaterThan(0.5);
        expect(stride.stance).toBeLessThan(0.7);
      }
      expect(report.audit.share).toBeLessThan(0.002);
    },
  );

  test('a sensor that is lost brings its safe state: shorted phases draw nothing, and the log says which fault', () => {
    const plan = walkPlan(input, { speed: 1.22, control: 'study' });
    if ('openBecause' in plan) throw new Error(plan.openBecause);
    let count = 0;
    const own = plan.setup.controller();
    const lost = {
      ...plan.setup,
      controller: () => ({
        ...own,
        tick: (measured: Float64Array, command: Float64Array) => {
          if (++count > 2000) measured[2] = Number.NaN;
          own.tick(measured, command);
        },
      }),
    };
    const log = walkRun(lost, 2.5e-4, 3);
    const row = log.table.subarray((log.rows - 1) * LOG_WIDTH, log.rows * LOG_WIDTH);
    expect(row[LOG.mode]).toBe(2);
    expect(row[LOG.fault]).toBeGreaterThan(0);
    expect(row[LOG.kneeCurrent]).toBe(0);
    expect(log.rows).toBeGreaterThan(2002);
  });
});
