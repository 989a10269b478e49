import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import type { Requirement } from '../evidence/requirement.ts';
import { walkLines } from './walk-lines.ts';
import { openWalkReport } from './walk-report.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);

function walked(of: typeof input, strides: number) {
  const walk = openWalkReport(of, { speed: 1.1 }, { step: 5e-4, strides });
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < strides && walk.stride(); k++);
  return { report: walk.report(), stride: walk.record().stride };
}
const walk = walked(input, 4);
const steady = walk.report.steady!;

const line = (id: string, metric: string, bound: Requirement['bound'], rest: object = {}): Requirement => ({
  ...{ id, metric, bound, because: 'test' },
  ...rest,
});
const most = (value: number) => ({ kind: 'at most', value }) as const;
const least = (value: number) => ({ kind: 'at least', value }) as const;

test('the walk is judged by the lines that name it, by its own figures, the worst of those not met first', () => {
  const push = steady.pushOff / steady.scheduledPushOff;
  const hip = steady.hipPositiveWork / walk.report.mass;
  const lines = walkLines(
    [
      line('met', 'swingFlexion', least(0.5 * steady.kneeFlexion)),
      line('little', 'hipWork', most(0.9 * hip), { speed: 1.1 }),
      line('much', 'pushOffShare', least(3 * push)),
      line('just', 'trackingError', most(steady.ankleError), { joint: 'ankle' }),
      // of other walks, of none, and of many
      line('fast', 'hipWork', most(0), { speed: 1.4 }),
      line('led', 'hipWork', most(0), { thigh: 'led' }),
      line('own', 'hipWork', most(0), { control: 'study' }),
      line('drive', 'torqueMargin', least(9), { joint: 'ankle' }),
      line('cut', 'powerCutTime', least(9), { speed: 1.1, thigh: 'prescribed' }),
    ],
    walk,
  );
  expect(lines.map(({ requirement: { id }, state }) => [id, state])).toEqual([
    ['much', 'not met'],
    ['little', 'not met'],
    ['met', 'met'],
    ['just', 'met'],
  ]);
  expect(lines.map(({ value }) => value)).toEqual([push, hip, steady.kneeFlexion, steady.ankleError]);
});

test('of a walk that fell only its strides are judged, and the rest says why it is open', () => {
  const { knee, ankle } = input.leg.joints;
  const weak = { knee: { ...knee!, currentLimit: 2 }, ankle: { ...ankle!, currentLimit: 2 } };
  const lines = walkLines(
    [line('hip', 'hipWork', most(1)), line('strides', 'walkedStrides', least(6))],
    walked({ ...input, leg: { ...input.leg, joints: weak } }, 6),
  );
  expect(lines.map(({ requirement: { id }, state }) => [id, state])).toEqual([
    ['strides', 'not met'],
    ['hip', 'open'],
  ]);
  expect(lines[1]!.openBecause).toMatch(/^after \d+\.\d s the hip sank$/);
});
