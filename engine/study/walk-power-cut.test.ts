import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import type { LossOfPower } from '../drive/leg-drive.ts';
import type { StudyInput } from './study-input.ts';
import { type OpenPowerCut, openPowerCut } from './walk-power-cut.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const STEP = 2.5e-4;

function cutsWith(lossOfPower: LossOfPower): OpenPowerCut {
  const { knee, ankle } = input.leg.joints;
  const joints = { knee: { ...knee!, lossOfPower }, ankle: { ...ankle!, lossOfPower } };
  const open = openPowerCut({ ...input, leg: { ...input.leg, joints } }, { speed: 1.1 }, STEP);
  if ('openBecause' in open) throw new Error(open.openBecause);
  return open;
}

const [free, through, straight] = [
  cutsWith({ phases: 'open' }),
  cutsWith({ phases: 'shortedThrough', resistance: 0.7 }),
  cutsWith({ phases: 'shorted' }),
];

test('in stance a knee with open phases bends further than one that brakes, and one shorted straight least', () => {
  const bends = [free, through, straight].map((cuts) => cuts.at(0.1).bends!);
  expect(bends[0]!).toBeGreaterThan(bends[1]!);
  expect(bends[1]!).toBeGreaterThan(bends[2]!);
  // each further than the knee was when power went
  expect(bends[2]!).toBeGreaterThan(straight.at(0.1).knee);
});

test('in swing it is the other way round: shorted straight the knee lands as bent as it was, free it comes through', () => {
  const [open, short] = [free.at(0.8), straight.at(0.8)];
  expect(open.stance).toBe(false);
  expect(short.lands!).toBeGreaterThan(open.lands! + 0.5);
  expect(Math.abs(open.lands! - open.poweredLands!)).toBeLessThan(0.2);
  expect(short.lands!).toBeGreaterThan(0.8 * short.knee);
});

test('60° is reached at once where the knee is beyond it, and with power in every stride', () => {
  const cut = through.at(0.7);
  expect(cut.knee).toBeGreaterThan(Math.PI / 3);
  expect(cut.toSixty).toBe(0);
  expect(through.at(0.1).poweredToSixty).toBeGreaterThan(0.5);
  expect(through.at(0.1).sinks).toBeGreaterThan(0.02);
});

test('what is missing is told: what the phases do', () => {
  const { lossOfPower: _, ...knee } = input.leg.joints.knee!;
  const lacks = { ...input, leg: { ...input.leg, joints: { ...input.leg.joints, knee } } } as StudyInput;
  const open = openPowerCut(lacks, { speed: 1.1 }, STEP);
  expect('openBecause' in open && open.openBecause).toContain('add `lossOfPower`');
});
