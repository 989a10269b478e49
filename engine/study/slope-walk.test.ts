// The demo leg with its wearer on slopes, in closed loop. What is expected: the slope of the scenario, the walk of a controller that is told
// the same, and the walk without a reading, to the last bit where the ground is level.
import { describe, expect, test } from 'vitest';
import { openStudy } from '../../store/open-study.ts';
import { LOG, LOG_WIDTH } from '../walk/walk-log.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
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

function walked(terrain: Scenario['terrain'], study = input, strides = 8): Walked {
  const walk = openScenario(
    study,
    {
      ...{
        id: 'own',
        title: 'own',
        speed: 1.1,
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

  test('onto 5° down over four metres: told nothing it falls, reading it walks', () => {
    const down = { kind: 'slope', angle: -5 * DEG, onset: { from: 3, over: 4 } } as const;
    expect(walked({ ...down, told: false }, input, 12).report.fell?.why).toBe('the hip sank');
    const { report, used } = walked(down, input, 12);
    expect(report.fell).toBeUndefined();
    expect(Math.abs(used.at(-1)! + 5)).toBeLessThan(1);
  });

  test('told, it leaves its own reading', () => {
    expect(walked({ kind: 'slope', angle: 3 * DEG, told: true }, input, 3).used).toEqual([0]);
  });
});
