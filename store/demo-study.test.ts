// The demo study against the numbers it was specified by, and its variants against the rule their files state.
import { fileURLToPath } from 'node:url';
import { driveFigures, evaluateStudy } from '@striderule/engine';
import { expect, test } from 'vitest';
import { checkStudy, openStudy } from './open-study.ts';

const demo = fileURLToPath(new URL('../examples/tern', import.meta.url));
const tern = await openStudy(demo);

test('the demo study says that it is one, on every leg', async () => {
  for (const leg of ['tern', 'tern-9', 'tern-50', 'tern-100', 'passive'])
    expect((await openStudy(demo, { leg })).input.demo, leg).toBe(true);
});

test('Tern as specified: 0.114 kg·m², 1.3 N·m breakaway, 184 N·m lossless, about 173 with the mesh', () => {
  // printed with the specification of the demo leg, to the digits given there
  const knee = driveFigures(tern.input.leg.joints.knee!, tern.input.leg.busVoltage, tern.input.leg.segments);
  expect(knee.reflectedInertia).toBeCloseTo(0.114, 3);
  expect(knee.breakaway).toBeCloseTo(1.3, 1);
  expect(Math.round(knee.peakTorqueLossless)).toBe(184);
  // the mesh alone leaves 94 %; what reaches the joint has paid drag and seals too: (τ − 0.05)·22·0.94 − 0.10
  expect(Math.round(0.94 * knee.peakTorqueLossless)).toBe(173);
  expect(knee.peakTorque).toBeCloseTo((knee.peakTorqueLossless / 22 - 0.05) * 22 * 0.94 - 0.1, 1);
});

test('the parts of each segment sum to it', () => {
  const { massBudget, segments } = tern.legFile;
  for (const name of ['thighPart', 'shank', 'foot'] as const) {
    const sum = massBudget!.filter((part) => part.segment === name).reduce((m, part) => m + part.mass.si, 0);
    expect(sum, name).toBeCloseTo(segments[name].mass.si, 9);
  }
});

for (const ratio of [9, 50, 100]) {
  test(`Tern-${ratio} follows the rule in its file: active length × 22 ÷ ${ratio}`, async () => {
    const { input, legFile } = await openStudy(demo, { leg: `tern-${ratio}` });
    const k = 22 / ratio;
    for (const joint of ['knee', 'ankle'] as const) {
      const [of, from] = [input.leg.joints[joint]!, tern.input.leg.joints[joint]!];
      expect(of.transmission.ratio).toBe(ratio);
      // typed to four digits (mass to three)
      for (const key of ['fluxLinkage', 'resistance', 'inductanceQ', 'rotorInertia'] as const)
        expect(of.motor[key] / (k * from.motor[key]), key).toBeCloseTo(1, 3);
      expect(of.motor.mass / (k * from.motor.mass)).toBeCloseTo(1, 2);
      const lossless = (j: typeof of): number =>
        1.5 * j.motor.polePairs * j.motor.fluxLinkage * j.motor.peakCurrent * j.transmission.ratio;
      expect(lossless(of) / lossless(from)).toBeCloseTo(1, 3);
      const [heat, heat22] = [legFile.joints![joint]!.thermal!, tern.legFile.joints![joint]!.thermal!];
      expect(heat.windingCapacity.si / (k * heat22.windingCapacity.si)).toBeCloseTo(1, 3);
      expect((heat.windingToHousing.si * k) / heat22.windingToHousing.si).toBeCloseTo(1, 3);
    }
    // all else as Tern
    expect(input.leg.segments).toEqual(tern.input.leg.segments);
  });
}

test('a leg without motors opens, and its drive requirements are open, each with the reason', async () => {
  const { input } = await openStudy(demo, { leg: 'passive' });
  expect(input.leg.joints).toEqual({});
  const { ledger } = evaluateStudy(input);
  expect(ledger.length).toBe(input.requirements.length);
  for (const row of ledger) {
    // a heel strikes with or without motors
    if (row.requirement.metric === 'impactForce') continue;
    expect(row.state, row.requirement.id).toBe('open');
    expect(row.predicted).toBeNull();
    expect(row.openBecause, row.requirement.id).toBeTruthy();
  }
});

test('the ledger of Tern has met, not met and open', () => {
  const states = new Set(evaluateStudy(tern.input).ledger.map((row) => row.state));
  expect([...states].sort()).toEqual(['met', 'not met', 'open']);
});

test('what a hazard is shown by names what is there', async () => {
  expect(await checkStudy(demo)).toEqual([]);
});
