// Where the ratios that carry every task end: against the envelope of the leg with that ratio, and a line through two ratios.
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { breakawayTorque } from '../drive/back-drive.ts';
import { driveLoad } from '../drive/drive-load.ts';
import { evaluateDesign } from './design.ts';
import { largestRatio } from './largest-ratio.ts';
import { ratioGrid, ratioScan } from './ratio-scan.ts';
import type { StudyInput } from './study-input.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const design = evaluateDesign(input);
const GRID = ratioGrid(3, 150, 40);
const without = (study: StudyInput): StudyInput => ({ ...study, requirements: [] });
const largest = (study: StudyInput, joint: 'knee' | 'ankle', ratios: readonly number[] = GRID) =>
  largestRatio(study, design, joint, ratioScan(study, design, joint, { ratios }))!;

test('the ankle ends by speed: on a stiff bus the worst stride’s margin, worked out for the leg with that ratio, is 1', () => {
  const { bus, ...leg } = input.leg;
  const stiff = without({ ...input, leg });
  expect(bus).toBeDefined();
  const { ratio, beyond } = largest(stiff, 'ankle');
  expect(beyond?.limit).toBe('speed');
  const drive = leg.joints.ankle!;
  const geared = { ...drive, transmission: { ...drive.transmission, ratio } };
  const margins = Object.values(design.demands).flatMap((demand) => {
    const own = demand.kind === 'stride' ? demand.joints.ankle : undefined;
    return own === undefined || own.moment.some(Number.isNaN)
      ? []
      : [driveLoad(geared, own, leg.busVoltage).speedMargin];
  });
  expect(Math.min(...margins)).toBeCloseTo(1, 5);
});

test('a back-drive requirement ends it where breakaway, a straight line over the ratio, meets the bound', () => {
  const { motor, transmission } = input.leg.joints.ankle!;
  const at = (ratio: number) => breakawayTorque(motor, { ...transmission, ratio });
  const bound = at(25);
  const study: StudyInput = {
    ...input,
    requirements: [
      {
        id: 'easy',
        metric: 'breakawayTorque',
        joint: 'ankle',
        bound: { kind: 'at most', value: bound },
        because: 'test',
      },
    ],
  };
  const { ratio, beyond } = largest(study, 'ankle');
  const slope = (at(20) - at(10)) / 10;
  expect(ratio).toBeCloseTo(10 + (bound - at(10)) / slope, 4);
  expect(beyond).toMatchObject({ limit: 'back-drive', id: 'easy' });
});

test('one grid or another gives the same end; a grid that stops inside ends there with nothing beyond', () => {
  const coarse = largest(without(input), 'ankle').ratio;
  expect(largest(without(input), 'ankle', ratioGrid(3, 150, 200)).ratio).toBeCloseTo(coarse, 4);
  expect(largest(without(input), 'ankle', [10, 24, 26])).toEqual({ ratio: 26 });
});

test('where no ratio carries there is no end', () => {
  const heavy = { ...input, leg: { ...input.leg, busVoltage: 5 } };
  const weak = evaluateDesign(heavy);
  const scan = ratioScan(heavy, weak, 'ankle', { ratios: GRID });
  expect(scan.smallest?.candidate).toBeUndefined();
  expect(largestRatio(heavy, weak, 'ankle', scan)).toBeUndefined();
});
