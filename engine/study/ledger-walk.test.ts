import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { curveAt } from '../gait/curve.ts';
import { strideRanges } from '../walk/stride-ranges.ts';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import { type LedgerWalked, openLedgerWalk, type WalkedFigures } from './ledger-walk.ts';
import { numberPaths } from './number-paths.ts';
import type { StudyInput } from './study-input.ts';
import { walkMetrics } from './walk-metrics.ts';
import type { PowerCut } from './walk-power-cut.ts';
import { openWalkReport, type WalkReport } from './walk-report.ts';
import { type LedgerWalk, ledgerWalkReads, ledgerWalks } from './walks-asked.ts';
import { valueAt, withValue } from './with-value.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const BRISK: LedgerWalk = { by: 'walk', speed: 1.1, thigh: 'prescribed', control: 'clock' };

function walked(study: StudyInput, walk: LedgerWalk): LedgerWalked {
  const open = openLedgerWalk(study, walk);
  let share = 0;
  for (let next = open.next(); ; next = open.next()) {
    expect(next).toBeGreaterThan(share);
    share = next;
    if (share === 1) return open.walked();
  }
}
const brisk = walked(input, BRISK) as WalkedFigures;
const figure = (name: string): number => brisk.figures[name] as number;

// The second route: the same walk's log, each figure from its columns by its printed formula.
test('figures of a walk are what their formulas say, read from its log', () => {
  const walk = openWalkReport(input, BRISK, { step: 2.5e-4, strides: 20 });
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < 20 && walk.stride(); k++);
  const { log, weight, mass, stride } = walk.record();
  const whole = strideRanges(log)
    .filter((range) => range.whole)
    .slice(2);
  const column = (place: number) => (row: number) => log.table[row * LOG_WIDTH + place]!;
  const mean = (of: (rows: number[]) => number): number =>
    whole.reduce((sum, { from, to }) => sum + of(Array.from({ length: to - from }, (_, i) => from + i)), 0) /
    whole.length;
  const sum = (of: (row: number) => number) => (rows: number[]) => rows.reduce((s, row) => s + of(row), 0);
  const gives = (torque: number, rate: number) =>
    mean(sum((row) => Math.max(0, column(torque)(row) * column(rate)(row)) * log.period)) / mass;
  expect(figure('hipWork')).toBeCloseTo(gives(LOG.hipTorque, LOG.thighRate), 12);
  expect(figure('ankleWork')).toBeCloseTo(gives(LOG.ankleTorque, LOG.ankleRate), 12);
  const guide = mean((rows) => Math.sqrt(sum((row) => column(LOG.guide)(row) ** 2)(rows) / rows.length));
  expect(figure('guideForce')).toBeCloseTo(guide / weight, 12);
  const most = (place: number, first = Number.POSITIVE_INFINITY) =>
    mean((rows) => Math.max(...rows.slice(0, first).map(column(place))));
  expect(figure('landingForce')).toBeCloseTo(most(LOG.up, 0.05 / log.period) / weight, 12);
  expect(figure('swingFlexion')).toBeCloseTo(most(LOG.knee), 12);
  // the published curve ten times as finely as the figure looks at it: that makes a ten-thousandth of the weight
  const { vertical } = stride.groundForce!;
  const published = Math.max(...Array.from({ length: 2001 }, (_, i) => curveAt(vertical, i / 20).value));
  expect(figure('groundForceError')).toBeCloseTo(Math.abs(most(LOG.up) / weight - published), 3);
  for (const joint of ['knee', 'ankle'] as const) {
    const own = stride.joints[joint]!.angle;
    const off = (row: number) => column(LOG[joint])(row) - curveAt(own, 100 * column(LOG.place)(row)).value;
    const rms = mean((rows) => Math.sqrt(sum((row) => off(row) ** 2)(rows) / rows.length));
    expect(figure(`trackingError.${joint}`)).toBeCloseTo(rms, 12);
  }
  expect(figure('energyResidual')).toBe(log.residual / log.moved);
  expect(figure('walkedStrides')).toBe(20);
  expect(figure('faultTime')).toBe(0);
});

test('the same study walks to the same figures, and so does a copy that never walked', () => {
  expect(walked(structuredClone(input), BRISK)).toEqual(brisk);
});

test('every kind of walk is made whole: cuts and faults are counted as their formulas say', () => {
  const cut = (place: number, more: Partial<PowerCut>): PowerCut => ({
    place,
    stance: place < 0.6,
    knee: 0.1,
    toSixty: Number.NaN,
    poweredToSixty: 0.5,
    sinks: 0,
    ...more,
  });
  const time = (...cuts: PowerCut[]) => {
    const metric = walkMetrics.powerCutTime!;
    return metric.by === 'power cut' ? metric.of({ cuts, strideTime: 1.2 }) : Number.NaN;
  };
  expect(time(cut(0.1, {}), cut(0.3, {}))).toBe(1.2); // never within a stride
  expect(time(cut(0.1, { toSixty: 0.7 }), cut(0.3, { toSixty: 0.9 }))).toBe(0.7);
  expect(time(cut(0.1, { toSixty: 0.7 }), cut(0.3, { fell: { after: 0.4, why: 'the hip sank' } }))).toBe(0.4);
  // the other foot is down half a stride after contact: a knee that bends from there on is swing
  expect(time(cut(0.1, { toSixty: 0.7 }), cut(0.5, { toSixty: 0.1 }))).toBe(0.7);

  const landing = (...cuts: PowerCut[]) => {
    const metric = walkMetrics.powerCutLanding!;
    return metric.by === 'power cut' ? metric.of({ cuts, strideTime: 1.2 }) : Number.NaN;
  };
  expect(
    landing(
      cut(0.2, {}),
      cut(0.7, { lands: 0.9, poweredLands: 0.1 }),
      cut(0.8, { lands: 0.4, poweredLands: 0.1 }),
    ),
  ).toBeCloseTo(0.8, 12);
  expect(landing(cut(0.7, { lands: Number.NaN, poweredLands: 0.1 }))).toEqual({
    openBecause: 'cut at 70 % of the stride, the foot does not come down within the next one',
  });

  // nothing landed is no landing that is better than any
  expect(landing(cut(0.2, {}))).toEqual({ openBecause: 'no cut fell into swing' });

  const trial = (outcome: 'survived' | 'stumbled' | 'fell') => ({ place: 0, outcome, noticed: 0, bus: 44 });
  const rows = [
    { id: 'a', title: 'A', trials: [trial('survived'), trial('fell')] },
    { id: 'b', title: 'B', trials: [trial('survived'), trial('stumbled')] },
  ];
  const share = (
    name: string,
    of: typeof rows | { id: string; title: string; trials: []; openBecause: string }[],
  ) => {
    const metric = walkMetrics[name]!;
    return metric.by === 'fault map' ? metric.of(of) : Number.NaN;
  };
  expect(share('faultsSurvived', rows)).toBe(0.5);
  expect(share('faultsFallen', rows)).toBe(0.25);
  expect(
    share('faultsFallen', [{ id: 'a', title: 'A', trials: [], openBecause: 'add `thermal` to the joints' }]),
  ).toEqual({ openBecause: 'faults cannot be told: A: add `thermal` to the joints' });

  // a leg that fell in the middle of its fourth stride has walked three
  const strides = walkMetrics.walkedStrides!;
  const report = { asked: 20, strideTime: 1.2, strides: [1, 2, 3, 4], fell: { time: 4.3, why: '' } };
  if (strides.by !== 'walk') throw new Error('no walk');
  expect(strides.of({ report: report as unknown as WalkReport, stride: undefined as never }, 'knee')).toBe(3);
});

test('each number of the leg that changes is found again in the part that is named, and in no other', () => {
  const then = ledgerWalkReads(input, BRISK);
  const changed = (study: StudyInput) => {
    const now = ledgerWalkReads(study, BRISK);
    return Object.keys(now).filter((part) => JSON.stringify(now[part]) !== JSON.stringify(then[part]));
  };
  for (const path of numberPaths(input.leg)) {
    const value = valueAt(input.leg, path) as number;
    const leg = withValue(input.leg, path, 1.1 * value + 1e-6);
    const [first, joint] = path.split('.');
    expect(changed({ ...input, leg }), path).toEqual([`leg ${first === 'joints' ? joint : first}`]);
  }
  expect(changed({ ...input, wearer: { ...input.wearer, mass: 90 } })).toEqual(['wearer']);
  expect(changed({ ...input, wearer: { ...input.wearer, code: 'W02' } })).toEqual(['walk', 'wearer']);
});

test('what a walk does not read may change without another walk: nothing of it comes out otherwise', () => {
  const { catalogue: _, scenarios: __, ...rest } = input;
  const other: StudyInput = {
    ...rest,
    name: 'another name',
    spreads: [],
    requirements: [],
    leg: { ...input.leg, version: '9' },
    controller: { ...input.controller!, controller: { ...input.controller!.controller, name: 'another' } },
  };
  expect(ledgerWalkReads(other, BRISK)).toEqual(ledgerWalkReads(input, BRISK));
  expect(walked(other, BRISK)).toEqual(brisk);
  // under the study’s own controller it is read
  const own: LedgerWalk = { ...BRISK, control: 'study' };
  expect(ledgerWalkReads(other, own)).not.toEqual(ledgerWalkReads(input, own));
});

test('what cannot be walked says why: a speed without strides, a field that the leg file lacks, a fault of the engine', () => {
  expect(walked(input, { ...BRISK, speed: 5 })).toHaveProperty('openBecause');
  const { endStop: _, ...knee } = input.leg.joints.knee!;
  const leg = { ...input.leg, joints: { ...input.leg.joints, knee } };
  for (const by of ['walk', 'power cut', 'fault map'] as const)
    expect(walked({ ...input, leg }, { ...BRISK, by })).toEqual({
      openBecause: 'the leg file lacks what a walk needs: `endStop` of the knee',
    });
  const { controller: __, ...without } = input;
  expect(walked(without, { ...BRISK, control: 'study' })).toHaveProperty('openBecause');
});

test('one walk serves every requirement of the same speed, thigh and controller', () => {
  const asked = (metric: string, more: object = {}) => ({
    id: metric,
    metric,
    bound: { kind: 'at most', value: 1 } as const,
    because: 'test',
    ...more,
  });
  const walks = (...requirements: ReturnType<typeof asked>[]) => ledgerWalks({ requirements }).length;
  // three speeds, the thigh prescribed and led
  expect(walks(asked('guideForce'), asked('hipWork'), asked('torqueMargin', { joint: 'knee' }))).toBe(6);
  expect(walks(asked('guideForce', { speed: 1.1 }), asked('hipWork', { speed: 1.1, thigh: 'led' }))).toBe(2);
  expect(walks(asked('hipWork', { speed: 1.1 }), asked('hipWork', { speed: 1.1, control: 'study' }))).toBe(4);
  expect(walks(asked('torqueMargin', { joint: 'knee' }))).toBe(0);
});
