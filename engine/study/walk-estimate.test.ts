import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import type { StudyInput } from './study-input.ts';
import { estimateSettling, slopeEstimates, walkEstimate } from './walk-estimate.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const DEG = Math.PI / 180;
const LEVEL = ['walk-slow', 'walk-natural', 'walk-fast', 'walk-1p4'];

/** What is known, or a failed test that says why not. */
function known<T>(of: T | { readonly openBecause: string }): T {
  if (typeof of === 'object' && of !== null && 'openBecause' in of) throw new Error(of.openBecause);
  return of as T;
}

const PERFECT: StudyInput = {
  ...input,
  leg: {
    ...input.leg,
    thighSensor: {
      ...input.leg.thighSensor!,
      poseError: 0,
      gyroNoise: 0,
      accelerometerNoise: 0,
      bias: 0,
      drift: 0,
      accelerometerBias: 0,
      delay: 0,
      mounting: { frequency: 2000, damping: 0.7 },
    },
  },
};

describe('speed on level ground', () => {
  test('a published walk on this wearer’s leg goes as its speed and stature say, within what stride lengths scatter by', () => {
    // legs and speeds come from two sources: 6 % is the RMS scatter of stride length at a speed between 35 adults (Fukuchi, Fukuchi &
    // Duarte, PeerJ 6 (2018) e4640, as fitted in engine/gait/temporal-spatial.ts); no estimate through legs alone can ask for less
    for (const task of ['walk-slow', 'walk-natural', 'walk-fast', 'own-walk']) {
      const { speed, known: own } = known(walkEstimate(input, task));
      expect(Math.abs(own.speed), task).toBeLessThan(0.06);
      expect(speed).toBeGreaterThan(0.8);
    }
    expect(known(walkEstimate(input, 'walk-natural')).speed).toBeCloseTo((1.22 * 1.76) / 1.71, 9);
    // made for 1.4 m/s: stride time from treadmills, angles from overground walkers, whose strides are the longer by 3 to 13 %
    const made = known(walkEstimate(input, 'walk-1p4'));
    expect(made.speed).toBe(1.4);
    expect(made.known.speed).toBeGreaterThan(0.03);
    expect(made.known.speed).toBeLessThan(0.13);
  });

  test('every stance of a walk that repeats reads the same, and none is refused', () => {
    for (const task of LEVEL) {
      const { known: own, sensed } = known(walkEstimate(input, task));
      expect(own.refused).toBe(0);
      expect(sensed.refused).toBe(0);
      expect(sensed.stances).toBe(2 * own.stances);
      // sampled at other instants of each stride: within a tenth of a degree
      expect(own.inclineScatter).toBeLessThan(0.1 * DEG);
      expect(sensed.inclineScatter).toBeLessThan(0.1 * DEG);
    }
  });

  test('a thigh off by ε moves the slope by ε: pose alone', () => {
    const tilted = {
      ...PERFECT,
      leg: { ...PERFECT.leg, thighSensor: { ...PERFECT.leg.thighSensor!, poseError: DEG } },
    };
    const [none, off] = [
      known(walkEstimate(PERFECT, 'walk-natural')),
      known(walkEstimate(tilted, 'walk-natural')),
    ];
    // to the worse side, so away from where it is already
    expect(Math.abs(off.sensed.incline) - Math.abs(none.sensed.incline)).toBeCloseTo(DEG, 3);
  });
});

describe('on slopes', () => {
  const slopes = known(slopeEstimates(input, 'walk-natural'));
  const level = known(walkEstimate(input, 'walk-natural'));

  test('a walk that leans with the ground is the level walk in a tilted frame: same speed, same error of slope', () => {
    const leaning = slopes.filter(({ taken }) => taken === 'leg');
    expect(leaning.map(({ incline }) => Math.round(incline / DEG))).toEqual([-8, -4, 4, 8]);
    for (const { known: own } of leaning) {
      expect(own.incline).toBeCloseTo(level.known.incline, 2);
      expect(own.speed).toBeCloseTo(level.known.speed, 2);
      expect(own.refused).toBe(0);
    }
  });

  test('an ankle that takes the slope up reads it as well; its true speed is not known and no number is made of it', () => {
    for (const { known: own, sensed } of slopes.filter(({ taken }) => taken === 'ankle')) {
      expect(Math.abs(own.incline)).toBeLessThan(1 * DEG);
      expect(own.speed).toBeNaN();
      expect(sensed.speed).toBeNaN();
    }
  });
});

describe('after a change', () => {
  const changes = known(estimateSettling(PERFECT, 'walk-natural'));
  const of = (change: string) => changes.find((each) => each.change === change)!;

  test('the first whole stance reads the new walk: what the walk reads by itself', () => {
    const fast = known(walkEstimate(PERFECT, 'walk-fast'));
    const { readings, speed } = of('slowest to fastest');
    expect(speed).toBe(2);
    expect(Math.abs(readings.at(-1)!.speed / (fast.speed * (1 + fast.sensed.speed)) - 1)).toBeLessThan(0.01);
    const slow = known(walkEstimate(PERFECT, 'walk-slow'));
    const back = of('fastest to slowest').readings.at(-1)!.speed;
    expect(Math.abs(back / (slow.speed * (1 + slow.sensed.speed)) - 1)).toBeLessThan(0.01);
  });

  test('a slope of 8° comes and goes by 8°', () => {
    const [up, down] = [of('level to 8° up').readings, of('8° up to level').readings];
    expect((up.at(-1)!.incline - down.at(-1)!.incline) / DEG).toBeCloseTo(8, 0);
    expect(of('level to 8° up').incline).toBeLessThanOrEqual(2);
  });
});

describe('what is refused', () => {
  test('stairs, running, ramps without a thigh: no level walking; no hull from too few speeds', () => {
    expect(walkEstimate(input, 'stair-up')).toEqual({ openBecause: 'stair ascent is no level walking' });
    expect(walkEstimate(input, 'run-2p5')).toEqual({ openBecause: 'running is no level walking' });
    const few = { ...input, tasks: input.tasks.filter(({ id }) => id === 'walk-slow' || id === 'walk-fast') };
    expect(walkEstimate(few, 'walk-slow')).toEqual({
      openBecause: 'the study has level walking with all angles at 2 speeds, and a hull needs 3',
    });
    const { controller: _, ...none } = input.leg;
    expect(walkEstimate({ ...input, leg: none }, 'walk-slow')).toEqual({
      openBecause: 'the leg file does not say how often the controller runs: add `controllerHardware`',
    });
  });
});
