import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { curveAt } from '../gait/curve.ts';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import { walkRun } from '../walk/walk-run.ts';
import { passivePlan } from './passive-plan.ts';
import { usersAnkle } from './users-ankle.ts';
import { walkNeeds } from './walk-needs.ts';
import { walkPlan } from './walk-plan.ts';
import { openWalkPrice } from './walk-price.ts';
import { type WalkReport, walkReport } from './walk-report.ts';

const demo = new URL('../../examples/tern', import.meta.url).pathname;
const { input } = await openStudy(demo, { leg: 'passive' });

function walked(speed: number, thigh: 'prescribed' | 'led', strides = 8): WalkReport {
  const report = walkReport(input, { speed, thigh }, { step: 2.5e-4, strides });
  if ('openBecause' in report) throw new Error(report.openBecause);
  return report;
}

/**
 * Prosthetic side of nine users above the knee, mean and SD: J/kg of positive ankle work, N·m/kg of largest ankle moment. Hood, Ishmael,
 * Gunnell, Foreman & Lenzi, Scientific Data 7 (2020) 150.
 */
const PUBLISHED = [
  { speed: 1.0, work: [0.178, 0.057], moment: [1.474, 0.128] },
  { speed: 1.4, work: [0.223, 0.068], moment: [1.632, 0.129] },
] as const;

const prescribed = PUBLISHED.map((row) => ({ ...row, report: walked(row.speed, 'prescribed') }));
const led = PUBLISHED.map((row) => ({ ...row, report: walked(row.speed, 'led') }));
const within = (value: number, [mean, sd]: readonly [number, number]): boolean =>
  Math.abs(value - mean) <= sd;
const workOf = ({ steady, mass }: WalkReport): number => steady!.anklePositiveWork / mass;
const momentOf = ({ steady, mass }: WalkReport): number => steady!.ankleMoment / mass;

describe('the demo’s passive leg lands on published data', () => {
  test.each([...prescribed, ...led])(
    'at $speed m/s, thigh $report.thigh: work and moment within one SD of the mean',
    ({ work, moment, report }) => {
      expect(report.fell).toBeUndefined();
      expect(within(workOf(report), work)).toBe(true);
      expect(within(momentOf(report), moment)).toBe(true);
      expect(report.checks.filter(({ landing }) => landing).map(({ holds }) => holds)).toEqual([true, true]);
    },
  );

  // to these two speeds nothing was set
  test.each([
    { speed: 0.8, work: [0.152, 0.051], moment: [1.373, 0.124] },
    { speed: 1.2, work: [0.201, 0.061], moment: [1.55, 0.121] },
  ] as const)('at $speed m/s with the thigh led as well', ({ speed, work, moment }) => {
    const report = walked(speed, 'led', 6);
    expect(within(workOf(report), work)).toBe(true);
    expect(within(momentOf(report), moment)).toBe(true);
  });

  test('between the published speeds the lines lie between; beyond them there is nothing to land on', () => {
    const report = walked(1.1, 'prescribed', 4);
    const work = report.checks.find(({ what }) => what === 'positive work of the ankle')!;
    expect(work.low).toBeCloseTo((0.178 + 0.201) / 2 - (0.057 + 0.061) / 2, 12);
    expect(work.high).toBeCloseTo((0.178 + 0.201) / 2 + (0.057 + 0.061) / 2, 12);
    const fast = walkReport(input, { speed: 1.45 }, { step: 2.5e-4, strides: 4 });
    if ('openBecause' in fast) throw new Error(fast.openBecause);
    expect(fast.checks.some(({ landing }) => landing)).toBe(false);
  });

  test('sane: swing flexion 55–70°, dorsiflexion within 4° of the published 15.9 and 17.4°, one contact a stride', () => {
    for (const { speed, report } of [...prescribed, ...led]) {
      const steady = report.steady!;
      const degrees = 180 / Math.PI;
      expect(steady.kneeFlexion * degrees).toBeGreaterThan(55);
      expect(steady.kneeFlexion * degrees).toBeLessThan(70);
      expect(Math.abs(steady.ankleDorsiflexion * degrees - (speed === 1 ? 15.9 : 17.4))).toBeLessThan(4);
      expect(steady.durations.low).toBeGreaterThan(0.98 * report.strideTime);
      expect(steady.durations.high).toBeLessThan(1.02 * report.strideTime);
    }
  });

  test('it comes down as hard as the stride does, within the line of every walk; what it does not hold is told: the guide at 1.4 m/s', () => {
    for (const { speed, report } of [...prescribed, ...led]) {
      const check = (start: string) => report.checks.find(({ what }) => what.startsWith(start))!;
      expect(check('peak of the vertical').holds).toBe(true);
      expect(check('guide force').holds).toBe(speed === 1);
      expect(check('guide force').value).toBeLessThan(0.15);
    }
  });
});

describe('the foot is that of the published ankles', () => {
  /**
   * Plantarflexing moment of the prosthetic ankle, N·m/kg, every 4 % of the stride from contact to 64 %, mean of the same nine users: and the
   * times their strides take by the regression over speed that the walk prints, s. Hood and others (2020), as above.
   */
  // biome-ignore format: one speed a row
  const MOMENTS = [
    { speed: 1.0, time: 1.274, moment: [-0.05, -0.13, -0.13, -0.05, 0.12, 0.33, 0.5, 0.65, 0.81, 1.0, 1.22, 1.41, 1.46, 1.25, 0.77, 0.25, 0.01] },
    { speed: 1.4, time: 1.039, moment: [-0.07, -0.17, -0.12, -0.01, 0.18, 0.34, 0.47, 0.64, 0.85, 1.1, 1.36, 1.58, 1.6, 1.27, 0.63, 0.1, -0.03] },
  ];
  const foot = input.leg.passiveJoints!.ankle!;

  test.each(MOMENTS)(
    'moved as theirs moved at $speed m/s its law gives their moment',
    ({ speed, time, moment }) => {
      const { angle } = usersAnkle(speed);
      let squares = 0;
      moment.forEach((published, i) => {
        const { value, slope } = curveAt(angle, 4 * i);
        const rate = (100 * slope) / time;
        const beyond = value - foot.neutral;
        const law =
          (beyond > 0 ? foot.stiffness : foot.stiffnessBelow) * beyond +
          (rate > 0 ? foot.flexionDamping : foot.extensionDamping) * rate;
        squares += (law / input.wearer.mass - published) ** 2;
      });
      // a fifteenth of the largest moment
      expect(Math.sqrt(squares / moment.length)).toBeLessThan(0.11);
    },
  );
});

describe('energy', () => {
  const plan = passivePlan(input, { speed: 1 });
  if ('openBecause' in plan) throw new Error(plan.openBecause);
  const logs = [2.5e-4, 1.25e-4, 6.25e-5].map((step) => walkRun(plan.setup, step, 3));

  test('balances over springs, dampers and stops to far less than a half per cent, better with smaller steps; no motor works', () => {
    const missed = logs.map(({ residual, moved }) => residual / moved);
    for (const share of missed) expect(share).toBeLessThan(0.0025);
    expect(missed[2]!).toBeLessThan(0.6 * missed[0]!);
    const log = logs[0]!;
    const last = (log.rows - 1) * LOG_WIDTH;
    expect(log.table[last + LOG.works]).toBe(0);
    expect(log.table[last + LOG.works + 1]).toBeLessThan(-5);
  });

  test('the joints’ torque on the rows is the law of the leg file, by hand', () => {
    const { stiffness, stiffnessBelow, neutral, flexionDamping } = input.leg.passiveJoints!.ankle!;
    const log = logs[0]!;
    let seen = 0;
    for (let i = 1; i < log.rows; i++) {
      const y = (place: number) => log.table[i * LOG_WIDTH + place]!;
      const beyond = y(LOG.ankle) - neutral;
      const k = beyond > 0 ? stiffness : stiffnessBelow;
      const asked = -k * beyond - flexionDamping * y(LOG.ankleRate);
      // a row has the torque of the step before
      if (Math.abs(y(LOG.ankleTorque) - asked) < 2.5) seen++;
    }
    expect(seen).toBeGreaterThan(0.95 * log.rows);
  });
});

describe('what is not there is said as not there', () => {
  const { report } = prescribed[0]!;

  test('no current, heat, battery, schedule or phase: no number, never zero', () => {
    expect(report.control).toBe('none');
    const steady = report.steady!;
    for (const key of ['cells', 'returned', 'shared', 'scheduledPushOff', 'earlyExits'] as const)
      expect(steady[key], key).toBeNaN();
    for (const joint of [report.strides[3]!.knee, report.strides[3]!.ankle])
      for (const key of [
        'peakCurrent',
        'rmsCurrent',
        'winding',
        'copper',
        'atCurrentLimit',
        'atBusLimit',
      ] as const)
        expect(joint[key], key).toBeNaN();
    expect(report.strides[3]!.pushOff.phase).toBeNaN();
    expect(report.strides[3]!.ankle.positiveWork).toBeGreaterThan(0);
  });

  test('a controller, prices and a driven walk are refused with the reason', () => {
    expect(walkReport(input, { speed: 1, control: 'study' }, { step: 5e-4, strides: 1 })).toEqual({
      openBecause: expect.stringContaining('no drives'),
    });
    expect(walkPlan(input, { speed: 1 })).toEqual({ openBecause: expect.stringContaining('no drives') });
    expect(openWalkPrice(input, { speed: 1 }, { step: 5e-4, strides: 6 })).toEqual({
      openBecause: expect.stringContaining('no drives'),
    });
  });

  test('a leg file that lacks something is told field by field', () => {
    expect(walkNeeds(input)).toEqual([]);
    const { endStop: _, ...bare } = input.leg.passiveJoints!.knee!;
    const { heelStiffness: __, ...foot } = input.leg.foot;
    const lacking = { ...input, leg: { ...input.leg, foot, passiveJoints: { knee: bare } } };
    expect(walkNeeds(lacking)).toEqual([
      '`endStop` of the knee, with its `damping`',
      'an ankle under `passiveJoints`',
      '`heelStiffness` under `foot`',
    ]);
    const none = { ...input, leg: { ...input.leg, passiveJoints: undefined as never } };
    expect(walkNeeds(none)[0]).toBe('a knee under `joints`');
  });
});
