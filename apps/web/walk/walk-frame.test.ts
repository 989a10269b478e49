import { openScenario, openWalkReport, posedStride, strideRanges, studyDemands } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { strideFrame, walkFrame } from './walk-frame.ts';

const { input } = await openStudy(new URL('../../../examples/tern', import.meta.url).pathname);
const { segments } = input.leg;

type Walk = ReturnType<typeof openWalkReport>;
function record(walk: Walk, strides: number) {
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < strides && walk.stride(); k++);
  return walk.record();
}
const scenario = (name: string) => {
  const of = input.scenarios!.find(({ id }) => id === name)!;
  return record(openScenario(input, of, 5e-4), Math.min(3, of.strides));
};
const walks = {
  level: record(openWalkReport(input, { speed: 1.1 }, { step: 5e-4, strides: 3 }), 3),
  'a slope down': scenario('down-5'),
  'a stair up': scenario('stair-up'),
};

test.each([936, 350, 700])(
  '%d px wide, whatever walks and before anything does has one height, and hip and foot in it',
  (width) => {
    const demand = Object.values(studyDemands(input)).find(({ kind }) => kind === 'stride');
    if (demand?.kind !== 'stride') throw new Error('the demo study has no stride');
    const frames = [
      strideFrame(width, 1.3, posedStride(demand, segments)),
      strideFrame(width, 1.3, undefined),
      ...Object.values(walks).map((walk) => {
        const range = strideRanges(walk.log).at(-1)!;
        return walkFrame(width, walk, segments, range, range.to - range.from);
      }),
    ];
    expect(new Set(frames.map(({ height }) => height)).size).toBe(1);
    // hip to ground, its ruler and what stands below it leave room for controls and two scales on a screen 900 px high
    expect(frames[0]!.height).toBeLessThanOrEqual(0.5 * 900);
    for (const { poses, ground, scale, foot, height } of frames) {
      expect(foot).toBeLessThan(height);
      for (const { pose } of poses)
        for (const z of [pose.hip.z, ...pose.leg.sole.map((point) => pose.hip.z + point.z)]) {
          expect(ground - scale * z).toBeGreaterThan(0);
          // soles sink into the ground by some millimetres
          expect(ground - scale * z).toBeLessThan(foot + 0.03 * scale);
        }
    }
  },
);
