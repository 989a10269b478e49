// The demo leg with its wearer on slopes, in closed loop. What is expected: the slope of the scenario, the walk of a controller that is told
// the same, and the walk without a reading, to the last bit where the ground is level.
import { describe, expect, test } from 'vitest';
import { openStudy } from '../../store/open-study.ts';
import { beginSwing, SWING, swingState, swingTick } from '../control/swing-tick.ts';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import { controlledLeg } from './controlled-leg.ts';
import { studyDemands } from './design.ts';
import { openScenario } from './scenario.ts';
import type { StudyInput } from './study-input.ts';
import type { WalkReport } from './walk-report.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const DEG = Math.PI / 180;
const { slope, ...rest } = input.controller!.controller;
const without: StudyInput = { ...input, controller: { ...input.controller!, controller: rest } };

interface Walked {
  readonly report: WalkReport;
  /** Slopes gone by, °, in turn. */
  readonly used: readonly number[];
  readonly table: Float64Array;
}

function walked(terrain: Scenario['terrain'], study = input, strides = 8, speed = 1.1): Walked {
  const walk = openScenario(
    study,
    {
      ...{
        id: 'own',
        title: 'own',
        speed,
        strides,
        control: 'study',
        thigh: 'led',
        ground: 'overground',
      },
      ...(terrain && { terrain }),
    },
    2.5e-4,
  );
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < strides && walk.stride(); k++);
  const { log } = walk.record();
  const all = Array.from({ length: log.rows }, (_, i) => log.table[i * LOG_WIDTH + LOG.slope]! / DEG);
  return {
    report: walk.report(),
    used: all.filter((x, i) => i === 0 || x !== all[i - 1]),
    table: log.table.subarray(0, log.rows * LOG_WIDTH),
  };
}
const onto = (angle: number): Scenario['terrain'] => ({
  kind: 'slope',
  angle: angle * DEG,
  onset: { from: 3, over: 2 },
});

describe('CTL-SLOPE walking by the slope that the leg reads, in closed loop', () => {
  test('on the level the reading changes nothing, to the last bit of the log', () => {
    const [reads, not] = [walked(undefined), walked(undefined, without)];
    expect(reads.used).toEqual([0]);
    expect(reads.table.length).toBe(not.table.length);
    expect(reads.table.every((x, i) => Object.is(x, not.table[i]))).toBe(true);
  });

  for (const angle of [-3, 5]) {
    test(`from the level onto ${angle}°: read within a degree, and at the end the foot lands as if it had been told`, () => {
      const { report, used } = walked(onto(angle), input, 10);
      expect(report.fell).toBeUndefined();
      expect(report.faultShare).toBe(0);
      expect(Math.abs(used.at(-1)! - angle)).toBeLessThan(1);
      // no step larger than the file allows
      used.slice(1).forEach((x, k) => {
        expect(Math.abs(x - used[k]!)).toBeLessThanOrEqual(slope!.change / DEG + 1e-6);
      });
      const told = walked({ kind: 'slope', angle: angle * DEG, told: true }).report.strides.at(-1)!;
      const last = report.strides.at(-1)!;
      expect(Math.abs(last.impact / told.impact - 1)).toBeLessThan(0.1);
    });
  }

  test.each([0.8, 1.1, 1.4])('onto 5° down over two metres at %s m/s: reading it, it walks', (speed) => {
    const { report, used } = walked(onto(-5), input, 12, speed);
    expect(report.fell).toBeUndefined();
    expect(report.faultShare).toBe(0);
    expect(Math.abs(used.at(-1)! + 5)).toBeLessThan(1.5);
  });

  test('onto 5° down at 1.4 m/s, told nothing, it falls', () => {
    const down = { kind: 'slope', angle: -5 * DEG, onset: { from: 3, over: 4 }, told: false } as const;
    expect(walked(down, input, 12, 1.4).report.fell?.why).toBe('the hip sank');
  });

  // closed form: 5° less of a way w is a share 1 − 5°/w of it, and a phase that is full at f is done where that is f or more
  test.each([0.8, 0.9])(
    'a thigh that comes 5° less far on the first step finishes its swing where the phase is full at %s of the way',
    (full) => {
      const { controller } = input.controller!;
      const swing = { ...controller.phases['level-swing']!, full };
      const study = {
        ...input,
        controller: {
          ...input.controller!,
          controller: { ...controller, phases: { ...controller.phases, 'level-swing': swing } },
        },
      };
      const leg = controlledLeg(study, { demands: studyDemands(input) });
      if ('openBecause' in leg) throw new Error(leg.openBecause);
      const { map, pace } = leg.compiled.bySpeed!.maps[0]![1]!.of;
      const way = map.peak - map.referenceOn;
      const state = swingState();
      beginSwing(
        map,
        state,
        { thigh: map.referenceOn, knee: 0.6, kneeRate: 0, ankle: 0, ankleRate: 0 },
        pace,
      );
      const [most, rise] = [way - 5 * DEG, 0.35];
      for (let t = 0; t < 0.8; t += 1e-3) {
        const u = Math.min(1, t / rise);
        const [share, rate] = [u * u * (3 - 2 * u), (6 * u * (1 - u)) / rise];
        swingTick(map, state, map.referenceOn + most * share, most * rate, 1e-3);
      }
      expect(state[SWING.phase]! === 1).toBe(1 - (5 * DEG) / way >= full);
    },
  );

  test('told, it leaves its own reading', () => {
    expect(walked({ kind: 'slope', angle: 3 * DEG, told: true }, input, 3).used).toEqual([0]);
  });
});
