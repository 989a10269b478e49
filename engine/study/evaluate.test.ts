// The whole thread on the demo study, against hand calculation from the numbers its files print.
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import type { LedgerRow } from '../evidence/ledger-row.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import { evaluateDesign, studyDemands } from './design.ts';
import { evaluateStudy } from './evaluate.ts';
import { metricCatalogue } from './metrics.ts';
import { valueAt, withValue } from './with-value.ts';

const folder = new URL('../../examples/tern', import.meta.url).pathname;
const { input } = await openStudy(folder);
const result = evaluateStudy(input);
const row = (id: string): LedgerRow => result.ledger.find((r) => r.requirement.id === id)!;

test('figures that need no stride are those of the back of an envelope', () => {
  const kt = 1.5 * 20 * 4.949e-3;
  // catalogue: 56.42 A is the motor's, 56.4 A the electronics' limit
  expect(row('ankle-poster').predicted).toBeCloseTo(22 * kt * 56.4, 1);
  expect(row('ankle-usable').predicted).toBeCloseTo(22 * 0.94 * (kt * 56.4 - 0.05) - 0.1, 1);
  expect(row('knee-inertia').predicted).toBeCloseTo(22 ** 2 * (2.148e-4 + 0.2e-4), 6);
  expect(row('knee-breakaway').predicted).toBeCloseTo((22 * 0.05) / 0.935 + 0.1, 9);
  expect(row('knee-back-drive').predicted).toBeCloseTo((22 * (0.05 + 1.2e-4 * 22 * 3)) / 0.935 + 0.1, 9);
  const moment = Math.hypot(2.9 * 0.012 + 1.1 * 0.045, 2.9 * 0.165 + 1.1 * (0.43 + 0.045)) * 9.80665;
  expect(row('knee-dead-angle').predicted).toBeCloseTo(
    Math.asin(row('knee-breakaway').predicted! / moment),
    9,
  );
});

test('the interval of breakaway is that of three independent uniform spreads', () => {
  const s = [(22 * 0.05 * 0.3) / 0.935, (22 * 0.05 * 0.015 * 0.935) / 0.935 ** 2, 0.1 * 0.3].map(
    (half) => half / Math.sqrt(3),
  );
  const half = 1.6449 * Math.hypot(...s);
  const got = row('knee-breakaway').interval!;
  expect(got.high - row('knee-breakaway').predicted!).toBeCloseTo(half, 3);
});

test('the ankle at natural speed by hand: sized moment through ratio and mesh at the instant of its peak', () => {
  const demand = result.demands['walk-natural'] as StrideDemand;
  const ankle = demand.joints.ankle!;
  const load = result.loads['walk-natural']!.ankle!;
  const i = load.peakTorqueIndex;
  const driven = (ankle.moment[i] + 0.1 * Math.sign(ankle.velocity[i])) * ankle.velocity[i] < 0;
  const gear = ankle.moment[i] + 0.1 * Math.sign(ankle.velocity[i]);
  const mesh = driven ? (gear * 0.935) / 22 : gear / (22 * 0.94);
  const rotor = 22 * 2.348e-4 * ankle.acceleration[i];
  const drag = Math.sign(ankle.velocity[i]) * (0.05 + 1.2e-4 * 22 * Math.abs(ankle.velocity[i]));
  expect(load.motorTorque[i]).toBeCloseTo(mesh + rotor + drag, 9);
  expect(Math.abs(ankle.peak.moment)).toBeGreaterThan(1.53 * 82);
});

test('margins and states agree with their numbers', () => {
  for (const r of result.ledger) {
    if (r.predicted === null) {
      expect(r.state).toBe('open');
      expect(r.openBecause).toMatch(/\S/);
      continue;
    }
    const room =
      r.requirement.bound.kind === 'at most'
        ? r.requirement.bound.value - r.predicted
        : r.predicted - r.requirement.bound.value;
    expect(r.margin).toBeCloseTo(room, 12);
    expect(r.state === 'not met').toBe(room < 0);
    expect([r.measured, r.shown]).toEqual([null, null]);
    expect(r.inputs.length).toBeGreaterThan(0);
    for (const i of r.inputs) if (typeof i.value === 'number') expect(i.unit, i.path).not.toBe('');
  }
});

test('running, of which only angles are published, is judged by speed and never by torque', () => {
  expect(row('knee-speed').at).toMatch(/^Running 2\.5 m\/s/);
  expect(row('knee-torque').at).not.toMatch(/^Running/);
  expect(row('knee-torque').at).toMatch(/not judged, no moment at the knee: .*Running 2\.5 m\/s/);
  expect(result.schedule.knee!.leftOut).toContain('Running 2.5 m/s, speeds only');
});

test('a higher ratio trades motor torque for back-driving, at constant motor', () => {
  const at = (ratio: number) =>
    evaluateDesign(
      { ...input, leg: withValue(input.leg, 'joints.ankle.transmission.ratio', ratio) },
      result.demands,
    );
  const [low, high] = [at(15), at(30)];
  expect(high.figures.ankle!.breakaway).toBeGreaterThan(1.8 * low.figures.ankle!.breakaway);
  expect(high.figures.ankle!.reflectedInertia).toBeCloseTo(4 * low.figures.ankle!.reflectedInertia, 12);
  expect(high.loads['walk-natural']!.ankle!.peakTorque).toBeLessThan(
    low.loads['walk-natural']!.ankle!.peakTorque,
  );
});

test('given demands and own demands agree', () => {
  const again = evaluateDesign(input, studyDemands(input));
  expect(again.loads['walk-fast']!.knee!.rmsTorque).toBe(result.loads['walk-fast']!.knee!.rmsTorque);
});

test('a leg without motors leaves every drive metric open, with its reason', async () => {
  const passive = await openStudy(folder, { leg: 'passive' });
  for (const r of evaluateStudy(passive.input).ledger) {
    // a heel strikes with or without motors
    if (r.requirement.metric === 'impactForce')
      expect(r.predicted).toBeLessThan(row('heel-impact').predicted!);
    else expect(r.state).toBe('open');
  }
});

test('unknown metric and task are told with their neighbour', () => {
  const spoil = (more: object) => ({ ...input, requirements: [{ ...input.requirements[0]!, ...more }] });
  expect(() => evaluateStudy(spoil({ metric: 'torqeMargin' }))).toThrow(
    'requirements.ankle-torque: There is no metric `torqeMargin`. Did you mean `torqueMargin`?',
  );
  expect(() => evaluateStudy(spoil({ task: 'walk-fst' }))).toThrow(
    'requirements.ankle-torque: There is no task `walk-fst`. Did you mean `walk-fast`?',
  );
});

test('a number is replaced at its path and nowhere else', () => {
  const leg = withValue(input.leg, 'joints.knee.motor.coulombDrag', 0.07);
  expect(valueAt(leg, 'joints.knee.motor.coulombDrag')).toBe(0.07);
  expect(valueAt(input.leg, 'joints.knee.motor.coulombDrag')).toBe(0.05);
  expect(leg.joints.ankle).toBe(input.leg.joints.ankle);
  expect(() => withValue(input.leg, 'joints.knee.motor.colour', 1)).toThrow(
    'There is no number at `joints.knee.motor.colour`. `colour` must be one of: name, polePairs,',
  );
  expect(() => withValue(input.leg, 'joints.knee.motor.coulombDrg', 1)).toThrow(
    'There is no number at `joints.knee.motor.coulombDrg`. Did you mean `joints.knee.motor.coulombDrag`?',
  );
});

test('every metric has a chapter heading, a formula and a unit', () => {
  for (const metric of Object.values(metricCatalogue)) {
    expect(metric.chapter).toMatch(/^[a-z]+\.md#[a-z-]+$/);
    expect(metric.formula.length).toBeGreaterThan(5);
    expect(metric.unit).not.toBe('');
  }
});
