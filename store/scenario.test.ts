import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { openStudy } from './open-study.ts';
import { only, spoilt } from './test-spoilt.ts';

const demo = fileURLToPath(new URL('../examples/tern', import.meta.url));

test('a scenario in SI, with what it leaves out', async () => {
  const { input } = await openStudy(demo);
  const of = (id: string) => input.scenarios!.find((scenario) => scenario.id === id)!;
  expect(of('stop-and-start')).toEqual({
    id: 'stop-and-start',
    title: 'stops with both feet down, stands, goes on',
    speed: 1.1,
    strides: 8,
    control: 'study',
    thigh: 'led',
    ground: 'overground',
    stop: { stride: 3, place: 0.08, over: 0.5, stands: 2 },
  });
  expect(of('down-5').terrain).toEqual({ kind: 'slope', angle: (-5 * Math.PI) / 180, told: true });
  expect(of('down-5-untold').terrain).toEqual({ kind: 'slope', angle: (-5 * Math.PI) / 180, told: false });
  // told: false takes the ground for level; left out it goes by what it reads
  expect(of('onto-down-5').terrain).toMatchObject({ kind: 'slope', angle: (-5 * Math.PI) / 180 });
  expect(of('onto-down-3').terrain).toEqual({
    kind: 'slope',
    angle: -3 * (Math.PI / 180),
    onset: { from: 3, over: 2 },
  });
  expect(of('early-off').leaves).toBe(0.3);
  expect(of('step-back').stop!.back).toEqual({ by: 0.5, over: 2, times: 1 });
  expect(of('step-15').terrain).toEqual({ kind: 'step', height: 0.015, at: 4, over: 0.06 });
  expect(of('treadmill').ground).toBe('treadmill');
  // a scenario off the level has the speed of its stride
  expect(of('run-hung')).toMatchObject({ hangs: 'run-2p5', speed: 2.5, strides: 6 });
  expect(of('stair-up')).toMatchObject({
    stairs: { task: 'stair-up', riser: 0.18, tread: 0.3, over: 0.02 },
    speed: 0.473,
    strides: 1,
    control: 'clock',
  });
  expect(of('stair-down-study').begins).toBe('free');
  expect(of('chair').chair).toEqual({ hip: 0.53, thigh: (85 * Math.PI) / 180, over: 2, sits: 2, share: 0.5 });
});

const WRONG: [file: string, from: string, to: string, told: string][] = [
  ['stop-and-start', 'strides: 8', 'strides: 2', 'the stop comes after the walk'],
  [
    'stop-and-start',
    'strides: 8',
    'strides: 8\nground: treadmill',
    'a belt that changes its speed is not modelled',
  ],
  ['stop-and-start', 'place: 8 %', 'place: 108 %', 'must lie between 0 and 1'],
  ['cadence', 'at: 5 s', 'at: 1 s', 'the times do not rise'],
  ['cadence', 'at: 2 s, share: 1 ', 'at: 2 s, share: 0.9 ', 'a walk begins in the middle of a swing'],
  ['up-5', 'slope: 5 deg', 'slope: 20 deg', 'no level stride is walked on so steep a slope'],
  ['up-5', 'slope: 5 deg', 'slope: 5 mm', 'mm'],
  ['onto-down-3', 'over: 2 m }', 'over: 2 m }, told: true', 'it would walk level ground as a slope'],
  [
    'onto-down-3',
    'strides: 10',
    'strides: 10\nground: treadmill',
    'a belt whose slope begins under way is not modelled',
  ],
  ['step-back', 'by: 50 %', 'by: 150 %', 'nobody here goes back by more than a stride'],
  ['early-off', 'strides: 8', 'strides: 8\ncontrol: clock', 'a clock is not told when to leave stance'],
  ['step-15', 'over: 60 mm', 'over: 0 mm', 'must be above zero'],
  ['knee-lost', 'stride: 3', 'stride: 7', 'the fault comes after the walk'],
  ['level-slow', 'speed: 0.85 m/s', '', 'a walk needs a speed'],
  ['level-slow', 'strides: 8', '', 'a walk needs a number of strides'],
  ['run-hung', 'hangs: run-2p5', 'hangs: run-2p6', 'There is no task `run-2p6`. Did you mean `run-2p5`?'],
  ['run-hung', 'hangs: run-2p5', 'hangs: run', 'The task `run` has no stride, only peaks'],
  ['run-hung', 'strides: 6', 'strides: 6\nground: treadmill', 'with `hangs` that is not said'],
  ['stair-up', 'control: clock', 'strides: 2', '`stairs` is told as a whole, not in strides'],
  ['stair-up', 'control: clock', 'hangs: run-2p5', 'both `hangs` and `stairs` is two'],
  ['chair', 'speed: 1.1 m/s', 'speed: 1.1 m/s\ncontrol: clock', 'a clock neither sits down nor rises'],
  ['level-fast', 'strides: 8', 'strides: 8\nbegins: stance', 'a walk begins in swing'],
  [
    'knee-lost',
    'name: knee-missing',
    'name: knee-mising',
    'There is no fault `knee-mising`. Did you mean `knee-missing`?',
  ],
];
for (const [file, from, to, told] of WRONG)
  test(`scenarios/${file}.yaml with \`${to}\``, async () => {
    expect(await only(spoilt(`scenarios/${file}.yaml`, from, to))).toContain(told);
  });
