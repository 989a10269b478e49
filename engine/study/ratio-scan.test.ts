// The scan against the design stage at the same ratio, and the smallest ratio against a search through whole designs.
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import type { DrivenJoint } from '../gait/stride.ts';
import { type DesignResult, evaluateDesign, studyDemands } from './design.ts';
import { jointHeat } from './heat.ts';
import { metricCatalogue } from './metrics.ts';
import type { RatioCandidate } from './ratio-candidate.ts';
import { ratioGrid, ratioScan } from './ratio-scan.ts';
import type { Leg, StudyInput } from './study-input.ts';
import { withValue } from './with-value.ts';

const { input: demo } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const { bus: _, ...unbussed } = demo.leg;
/** The demo study on a bus that does not sag, as the design stage takes it, without requirements. */
const input: StudyInput = { ...demo, leg: unbussed, requirements: [] };
const demands = studyDemands(input);
const JOINTS: readonly DrivenJoint[] = ['knee', 'ankle'];

const withLeg = (study: StudyInput, joint: DrivenJoint, path: string, value: number): StudyInput => ({
  ...study,
  leg: withValue(study.leg, `joints.${joint}.${path}`, value),
});
const at = (joint: DrivenJoint, ratio: number, study = input): DesignResult =>
  evaluateDesign(withLeg(study, joint, 'transmission.ratio', ratio), demands);
const scanned = (study: StudyInput, joint: DrivenJoint, ratios: readonly number[]) =>
  ratioScan(study, evaluateDesign(study, demands), joint, { ratios });
const near = (got: number | undefined, want: number, relative = 1e-9): void => {
  if (Object.is(got, want)) return;
  expect(Math.abs(got! / want - 1), `${got} against ${want}`).toBeLessThan(relative);
};

/** The same motor with saturation: the demo's is linear. */
const saturating = (study: StudyInput, joint: DrivenJoint): StudyInput => {
  const drive = study.leg.joints[joint]!;
  const leg: Leg = {
    ...study.leg,
    joints: {
      ...study.leg.joints,
      [joint]: { ...drive, motor: { ...drive.motor, saturationCurrent: 150 } },
    },
  };
  return { ...study, leg };
};

describe('a candidate is the design at its ratio', () => {
  for (const joint of JOINTS) {
    for (const [motor, study] of [
      ['linear', input],
      ['saturating', saturating(input, joint)],
    ] as const) {
      test(`${joint}, ${motor}: margins, costs and steady heat of every task`, () => {
        const ratios = [9, 22, 50];
        scanned(study, joint, ratios).candidates.forEach((candidate, n) => {
          const design = at(joint, ratios[n], study);
          const there = withLeg(study, joint, 'transmission.ratio', ratios[n]);
          const heat = jointHeat(there, design, joint);
          if ('openBecause' in heat) throw new Error(heat.openBecause);
          let compared = 0;
          for (const { id, torque, speed, winding } of candidate.tasks) {
            const load = design.loads[id]?.[joint];
            const peaks = design.peaks[id]?.[joint];
            if (load !== undefined) {
              if (Number.isNaN(load.peakTorque)) expect(torque).toBeUndefined();
              else near(torque, load.torqueMargin);
              near(speed, load.speedMargin);
            }
            if (peaks !== undefined) {
              expect(torque).toBe(peaks.torqueMargin?.low);
              expect(speed).toBe(peaks.speedMargin?.low);
            }
            const task = heat.tasks.find((t) => t.id === id);
            if (task === undefined || Number.isNaN(task.load.copper * task.load.fluxExponent))
              expect(winding).toBeUndefined();
            else
              near(winding, (heat.windingLimit - heat.ambient) / (task.steady.winding - heat.ambient), 1e-6);
            compared++;
          }
          expect(compared).toBeGreaterThan(8);
          near(candidate.costs.rmsTorque, design.schedule[joint]!.rmsTorque);
          expect(candidate.costs.breakaway).toBe(design.figures[joint]!.breakaway);
          expect(candidate.costs.backDrive).toBe(design.figures[joint]!.backDrive);
          expect(candidate.costs.reflectedInertia).toBe(design.figures[joint]!.reflectedInertia);
        });
      });
    }
  }

  test('the tightest limit is the least margin, and what it is named after', () => {
    for (const c of scanned(input, 'ankle', [9, 22, 30, 50]).candidates) {
      const all = c.tasks.flatMap(({ torque, speed, gears }) => [torque, speed, gears]);
      expect(c.tightest!.margin).toBe(Math.min(...all.filter((m) => m !== undefined)));
      const task = c.tasks.find(({ title }) => title === c.tightest!.at)!;
      expect(task[c.tightest!.limit as 'torque' | 'speed']).toBe(c.tightest!.margin);
    }
  });
});

/** Whether every task is carried, from whole designs: the plain way. */
function carried(joint: DrivenJoint, ratio: number, study = input): boolean {
  const design = at(joint, ratio, study);
  const margins = Object.keys(demands).flatMap((id) => {
    const load = design.loads[id]?.[joint];
    const peaks = design.peaks[id]?.[joint];
    return [load?.torqueMargin, load?.speedMargin, peaks?.torqueMargin?.low, peaks?.speedMargin?.low];
  });
  return margins.every((m) => m === undefined || Number.isNaN(m) || m >= 1);
}

describe('the smallest ratio', () => {
  for (const joint of JOINTS) {
    test(`${joint}: a search through whole designs finds the same, and none below`, () => {
      const { ratio } = scanned(input, joint, [22]).smallest!;
      for (const smaller of ratioGrid(1, ratio * (1 - 1e-6), 60)) expect(carried(joint, smaller)).toBe(false);
      expect(carried(joint, ratio * (1 + 1e-9))).toBe(true);
    });
  }

  test('knee by hand: rising from a chair at the upper end of what is published', () => {
    // N = (1.97 N·m/kg × 82 kg + 0.10)/(0.94·(1.5·20·4.949 mV·s × 56.4 A − 0.05)), the values of the demo leg
    const want = (1.97 * 82 + 0.1) / (0.94 * (1.5 * 20 * 4.949e-3 * 56.4 - 0.05));
    const { ratio, tightest } = scanned(input, 'knee', [22]).smallest!;
    near(ratio, want, 1e-6);
    expect(tightest).toMatchObject({ limit: 'torque', at: 'Rising from a chair' });
  });

  test('where speed fails first and holds a little higher, it is found there', () => {
    // ten times the resistance: at the ratio that torque asks for, the current takes nearly all of the voltage
    const study = withLeg(
      { ...input, leg: { ...input.leg, busVoltage: 70 } },
      'ankle',
      'motor.resistance',
      10 * 0.06579,
    );
    const { smallest } = scanned(study, 'ankle', [22]);
    expect(smallest!.ratio).toBeGreaterThan(smallest!.torqueFrom * 1.001);
    expect(smallest!.ratio).toBeLessThan(Number.POSITIVE_INFINITY);
    expect(carried('ankle', smallest!.torqueFrom * (1 + 1e-9), study)).toBe(false);
    expect(carried('ankle', smallest!.ratio, study)).toBe(true);
    expect(carried('ankle', smallest!.ratio * (1 - 1e-5), study)).toBe(false);
  });

  test('a bus that sags needs no smaller a ratio, and never a more generous one', () => {
    const stiff = scanned(input, 'ankle', ratioGrid(8, 60, 20)).candidates;
    const sagging = scanned(
      { ...input, leg: { ...input.leg, bus: { resistance: 0.12 } } },
      'ankle',
      ratioGrid(8, 60, 20),
    );
    sagging.candidates.forEach((c, k) => {
      if (c.carries) expect(stiff[k].carries).toBe(true);
      expect(c.costs.busVoltage).toBeLessThan(input.leg.busVoltage);
      expect(stiff[k].costs.busVoltage).toBe(input.leg.busVoltage);
    });
  });

  test('gears too weak, or a hand too weak: no ratio, and why', () => {
    const knee = input.leg.joints.knee!;
    const weak: StudyInput = {
      ...input,
      leg: {
        ...input.leg,
        joints: { knee: { ...knee, transmission: { ...knee.transmission, torqueLimit: 60 } } },
      },
    };
    const gears = scanned(weak, 'knee', [22]).smallest!;
    expect(gears.ratio).toBe(Number.POSITIVE_INFINITY);
    expect(gears.tightest.limit).toBe('gears');
    const asked: StudyInput = {
      ...input,
      requirements: [
        {
          id: 'easy',
          metric: 'breakawayTorque',
          joint: 'knee',
          bound: { kind: 'at most', value: 1 },
          because: 'test',
        },
      ],
    };
    const hand = scanned(asked, 'knee', [22]);
    expect(hand.smallest!.ratio).toBe(Number.POSITIVE_INFINITY);
    expect(hand.smallest!.tightest).toMatchObject({ limit: 'back-drive', at: 'easy' });
    // (22 × 0.05)/0.935 + 0.10 N·m against 1 N·m
    near(hand.candidates[0].tightest!.margin, 1 / ((22 * 0.05) / 0.935 + 0.1));
    // of another joint it asks nothing
    expect(
      scanned({ ...asked, requirements: [{ ...asked.requirements[0], joint: 'ankle' }] }, 'knee', [22])
        .smallest!.ratio,
    ).toBeLessThan(22);
  });

  test('a torque that no ratio gives', () => {
    const study = withLeg(input, 'ankle', 'motor.peakCurrent', 0.1);
    const { smallest } = scanned(study, 'ankle', [22]);
    expect(smallest!.ratio).toBe(Number.POSITIVE_INFINITY);
    expect(smallest!.torqueFrom).toBe(Number.POSITIVE_INFINITY);
    const metric = metricCatalogue.smallestFeasibleRatio.value(
      study,
      evaluateDesign(study, demands),
      'ankle',
      undefined,
    );
    expect(metric).toMatchObject({
      value: Number.POSITIVE_INFINITY,
      at: expect.stringMatching(/^no ratio gives the torque: /),
    });
  });
});

describe('in the ledger', () => {
  const value = (name: string, joint: DrivenJoint, study: StudyInput) =>
    metricCatalogue[name].value(study, evaluateDesign(study, demands), joint, undefined);

  test('headroom is the leg’s ratio over the smallest', () => {
    const smallest = value('smallestFeasibleRatio', 'ankle', input);
    const headroom = value('ratioHeadroom', 'ankle', input);
    if ('openBecause' in smallest || 'openBecause' in headroom) throw new Error('open');
    near(headroom.value, 22 / smallest.value);
    expect(smallest.at).toMatch(/^torque, Level walking 1\.97 m\/s$/);
  });

  test('no ratio: the headroom is none, and what fails where torque would do is told', () => {
    const study = { ...input, leg: { ...input.leg, busVoltage: 20 } };
    expect(value('ratioHeadroom', 'knee', study)).toMatchObject({
      value: 0,
      at: expect.stringMatching(
        /^no ratio: torque would do from 20\.7:1, where speed is 0\.\d+× its need, Running 2\.5 m\/s/,
      ),
    });
  });

  test('a joint without a drive is open', () => {
    const study = { ...input, leg: { ...input.leg, joints: { knee: input.leg.joints.knee! } } };
    expect(value('ratioHeadroom', 'ankle', study)).toEqual({ openBecause: 'the leg has no ankle drive' });
  });
});

describe('another motor', () => {
  const named = (study: StudyInput, motor: string): readonly RatioCandidate[] =>
    ratioScan(study, evaluateDesign(study, demands), 'ankle', { motor, ratios: [22, 40] }).candidates;

  test('in the place of the leg’s is the leg with that motor', () => {
    const { motor, thermal } = demo.catalogue!.motors.find((m) => m.motor.name === 'SR-F76-22')!;
    const ankle = input.leg.joints.ankle!;
    const swapped = {
      ...input,
      leg: { ...input.leg, joints: { ankle: { ...ankle, motor, thermal: thermal! } } },
    };
    expect(named(input, 'SR-F76-22')).toEqual(scanned(swapped, 'ankle', [22, 40]).candidates.map((c) => c));
  });

  test('without a heat path says nothing of heat, and why', () => {
    const [first, ...others] = demo.catalogue!.motors;
    const { thermal: __, ...cold } = first;
    const study = { ...input, catalogue: { motors: [cold, ...others], leftOut: [] } };
    const scan = ratioScan(study, evaluateDesign(study, demands), 'ankle', { motor: 'SR-F44-08' });
    expect(scan.heatOpen).toBe('the catalogue gives no thermal resistances and winding limit for SR-F44-08');
    for (const { winding, tasks } of scan.candidates) {
      expect(winding).toBeUndefined();
      expect(tasks.every((task) => task.winding === undefined)).toBe(true);
    }
    expect(scan.forEver).toBeUndefined();
  });

  test('that nobody knows, or not enough of, is refused', () => {
    expect(() => named(input, 'SR-F92-41')).toThrow(
      'There is no motor `SR-F92-41` in the catalogue. Did you mean `SR-F92-14`?',
    );
    const study = { ...input, catalogue: { motors: [], leftOut: [{ name: 'own', lacks: ['mass'] }] } };
    expect(() => named(study, 'own')).toThrow(
      'The catalogue does not tell enough of `own`. Add to motors/*.csv: mass.',
    );
    const passive = { ...input, leg: { ...input.leg, joints: {} } };
    expect(() => named(passive, 'SR-F92-14')).toThrow(
      'The leg has no ankle drive. Scan a joint that it drives',
    );
  });
});

test('a grid goes by one factor from end to end', () => {
  const grid = ratioGrid(5, 80, 5);
  [5, 10, 20, 40, 80].forEach((want, k) => {
    near(grid[k], want, 1e-12);
  });
});
