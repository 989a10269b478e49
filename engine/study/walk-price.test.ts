import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import type { Segment } from '../gait/stride.ts';
import {
  COMMAND,
  COMMAND_SIZE,
  MEASURED,
  MEASURED_SIZE,
  type WalkController,
} from '../walk/walk-controller.ts';
import { walkRun } from '../walk/walk-run.ts';
import type { StudyInput } from './study-input.ts';
import { joinedSegments } from './walk-body.ts';
import { changedController, NO_CHANGE, raised } from './walk-change.ts';
import { type WalkLever, walkLevers } from './walk-levers.ts';
import { type WalkChoice, walkPlan } from './walk-plan.ts';
import { type LeverPrice, openWalkPrice, type WalkPrice, withPrices } from './walk-price.ts';
import { walkReport } from './walk-report.ts';
import { withValue } from './with-value.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const SPEED = 1.1;
const LENGTH = { step: 2.5e-4, strides: 6 };
const levers = walkLevers(input);
const lever = (id: string): WalkLever => levers.find((each) => each.id === id)!;

function priced(of: readonly WalkLever[], study: StudyInput = input): WalkPrice {
  const run = openWalkPrice(study, { speed: SPEED }, LENGTH, of);
  if ('openBecause' in run) throw new Error(run.openBecause);
  return withPrices(
    run.planned,
    of.map((_, k) => run.at(k)),
  );
}

/** Positive hip work, J a stride, of the last three strides, through the public functions alone. */
function hipWork(study: StudyInput, choice: Partial<WalkChoice> = {}): number {
  const report = walkReport(study, { speed: SPEED, ...choice }, LENGTH);
  if ('openBecause' in report) throw new Error(report.openBecause);
  return report.strides.slice(-3).reduce((sum, { hip }) => sum + hip.positiveWork, 0) / 3;
}

const withLeg = (path: string, value: number): StudyInput => ({
  ...input,
  leg: withValue(input.leg, path, value),
});

describe('prices', () => {
  const RATIO = 'joints.knee.transmission.ratio';
  const FOOT = 'segments.foot.mass';
  const SPRING = 'stance.knee.stiffness';
  const STAND = { ...lever('socketFlexion'), id: 'nothing', at: <S>(study: S): S => study } as WalkLever;
  const all = priced([lever(SPRING), lever(FOOT), STAND]);
  const of = (id: string): LeverPrice => all.prices.find((each) => each.lever.id === id)!;

  test('a price is the difference quotient of hip work, by walks of their own with another step', () => {
    const stiffer = (value: number): Partial<WalkChoice> => ({
      change: {
        ...NO_CHANGE,
        stance: { ...NO_CHANGE.stance, knee: { stiffness: value, damping: 1 } },
      },
    });
    for (const thigh of ['prescribed', 'led'] as const) {
      // half as much again as the large step
      const quotients = [
        [FOOT, 0.15, (h: number) => hipWork(withLeg(FOOT, 1.1 + h), { thigh })],
        // led, it bends more than two steps tell
        ...(thigh === 'led'
          ? []
          : [[SPRING, 0.15, (h: number) => hipWork(input, { thigh, ...stiffer(1 + h) })] as const]),
      ] as const;
      for (const [id, h, walked] of quotients) {
        const quotient = (walked(h) - walked(-h)) / (2 * h);
        const { narrow, wide, noneBecause } = of(id)[thigh];
        expect(noneBecause, `${id} ${thigh}`).toBeUndefined();
        // as far as the two steps differ between themselves, and what strides differ by
        const within = 2 * Math.abs(narrow - wide) + all.ends[thigh].uneven / h;
        expect(Math.abs(quotient - wide), `${id} ${thigh}`).toBeLessThan(within);
        expect(within, `${id} ${thigh}`).toBeLessThan(0.3 * Math.abs(wide));
      }
    }
  });

  test('as planned is the walk itself, and a change of nothing has no price', () => {
    for (const thigh of ['prescribed', 'led'] as const) {
      expect(all.ends[thigh].hip).toBe(hipWork(input, { thigh }));
      const { narrow, wide, bend, noneBecause } = of('nothing')[thigh];
      expect([narrow, wide, bend]).toEqual([0, 0, 0]);
      expect(noneBecause).toBe('moves hip work by less than its strides differ');
    }
    expect(of('nothing').effect).toBe(0);
    expect(all.prices.map(({ effect }) => effect)).toEqual(
      all.prices.map(({ effect }) => effect).toSorted((a, b) => b - a),
    );
  });

  test('two steps that disagree, or a leg that falls, have no price and say why', () => {
    const odd = (id: string, at: WalkLever['at']): WalkLever => ({ ...lever(FOOT), id, at });
    const found = priced([
      // heavier both ways: up and down move the hip alike
      odd('even', (study, value) => lever(FOOT).at(study, 1.1 + 3 * Math.abs(value - 1.1))),
      // ten times as much by the large step
      odd('steep', (study, value) => lever(FOOT).at(study, 1.1 + 100 * (value - 1.1) ** 3)),
      // a thigh that is read far back: swing never ends
      odd('misread', (study) => lever('thighReading').at(study, -0.1)),
    ]);
    const why = (id: string, thigh: 'prescribed' | 'led' = 'prescribed') =>
      found.prices.find((each) => each.lever.id === id)![thigh].noneBecause;
    expect(why('even')).toBe('moves hip work by less than its strides differ');
    expect(why('steep')).toBe('another size with another step');
    expect(why('misread', 'led')).toMatch(/^no walk a small step down: after \d/);
    expect(found.tests).toEqual([]);
  });

  test('a bench test takes away the share of (price·spread)² that its inputs have', () => {
    const [ankle, flux] = [lever('torqueConstant.ankle'), lever('torqueConstant.knee')];
    const { prices, tests } = priced([ankle, flux, lever(RATIO)]);
    const square = (one: WalkLever) =>
      (prices.find((each) => each.lever.id === one.id)!.prescribed.narrow * one.spread) ** 2;
    const share = square(flux) / (square(flux) + square(ankle));
    expect(tests[0]!.test).toBe('knee: back-EMF of the spun motor');
    expect(tests[0]!.prescribed).toBeCloseTo(share, 12);
    expect(tests.reduce((sum, each) => sum + each.prescribed, 0)).toBeCloseTo(1, 12);
    // a ratio is chosen: no bench test makes it any less uncertain
    expect(tests).toHaveLength(2);
  });

  test('spreads: the leg file’s standard deviation, else what is typical, else a step', () => {
    // ±30 % of 0.05 N·m, every value equally likely: 0.3·0.05/√3
    expect(lever('joints.knee.motor.coulombDrag')).toMatchObject({ origin: 'leg file' });
    expect(lever('joints.knee.motor.coulombDrag').spread).toBeCloseTo((0.3 * 0.05) / Math.sqrt(3), 15);
    // ±7.5 % as a 95 % interval: 7.5 %/1.960
    expect(lever('torqueConstant.knee')).toMatchObject({ origin: 'typical' });
    expect(lever('torqueConstant.knee').spread).toBeCloseTo(0.075 / 1.96, 5);
    expect(lever(RATIO)).toMatchObject({ origin: 'step', nominal: 22 });
    // whole periods, none below zero
    expect(lever('controller.delayPeriods')).toMatchObject({ narrow: [0, 2], wide: [0, 3] });
  });

  test('too short a walk is refused, and a leg that cannot walk says what it lacks', () => {
    expect(() => openWalkPrice(input, { speed: SPEED }, { step: 5e-4, strides: 5 })).toThrow(
      'A price is read off steady strides, and a walk of 5 has none',
    );
    const { residualLimbLength: _, ...wearer } = input.wearer;
    const run = openWalkPrice({ ...input, wearer }, { speed: SPEED }, LENGTH);
    expect('openBecause' in run && run.openBecause).toContain('`residualLimbLength`');
  });
});

describe('laws of the walk that is priced', () => {
  const lump = (segment: Segment, mass: number, x: number, z: number): Segment =>
    joinedSegments(segment, { length: 0, mass, centre: { x, z }, inertia: 0 }, segment.length);
  const { segments } = input.leg;
  const built = (of: Partial<typeof segments>): StudyInput => ({
    ...input,
    leg: {
      ...input.leg,
      segments: { ...segments, ...of },
      joints: { knee: fine('knee'), ankle: fine('ankle') },
    },
  });
  // encoders so fine that rounding in the last digit does not move a reading by a whole step
  const fine = (joint: 'knee' | 'ankle') => {
    const own = input.leg.joints[joint]!;
    return { ...own, encoder: { ...own.encoder!, bits: 40 } };
  };

  test.each(['prescribed', 'led'] as const)(
    'thigh %s: a mass on an axis weighs the same on either side of it',
    (thigh) => {
      const down = -segments.shank.length;
      const pairs = [
        [
          { shank: lump(segments.shank, 0.2, 0, down) },
          { foot: lump(segments.foot, 0.2, 0, 0) },
          'ankle axis',
        ],
        [
          { thighPart: lump(segments.thighPart, 0.2, 0, -segments.thighLength) },
          { shank: lump(segments.shank, 0.2, 0, 0) },
          'knee axis',
        ],
      ] as const;
      const plain = hipWork(built({}), { thigh });
      for (const [above, below, where] of pairs) {
        const [a, b] = [hipWork(built(above), { thigh }), hipWork(built(below), { thigh })];
        expect(Math.abs(a - b), where).toBeLessThan(1e-5 * plain);
        expect(Math.abs(a - plain), where).toBeGreaterThan(2e-4 * plain);
      }
    },
  );

  test('a mass on the hip’s own axis is the body’s: hip work is the same, whoever carries it', () => {
    const plan = walkPlan(input, { speed: SPEED });
    if ('openBecause' in plan) throw new Error(plan.openBecause);
    const { leg } = plan.setup;
    const moved = { ...leg, body: leg.body - 2, thigh: lump(leg.thigh, 2, 0, 0) };
    const net = (setup: typeof plan.setup) => {
      const log = walkRun(setup, LENGTH.step, 3);
      return log.table.at(-9 + 4)!; // work of the hip's torque, last row
    };
    const [one, other] = [net(plan.setup), net({ ...plan.setup, leg: moved })];
    expect(Math.abs(one)).toBeGreaterThan(1);
    expect(Math.abs(one - other)).toBeLessThan(1e-6 * Math.abs(one));
  });

  test('a torque constant that is off and a command that is off by as much are one walk', () => {
    // τ = K_t·i, i = τ*/K_t*: the same torque, whichever of the two is off
    const k = 1.04;
    const flux = input.leg.joints.ankle!.motor.fluxLinkage;
    const planned = (study: StudyInput, choice: Partial<WalkChoice> = {}) => {
      const plan = walkPlan(study, { speed: SPEED, ...choice });
      if ('openBecause' in plan) throw new Error(plan.openBecause);
      return plan.setup;
    };
    const louder = (of: WalkController): WalkController => ({
      ...of,
      tick: (m, command) => {
        of.tick(m, command);
        command[COMMAND.ankle]! *= k;
      },
    });
    const net = (setup: ReturnType<typeof planned>) => walkRun(setup, LENGTH.step, 4).table.at(-9 + 4)!; // work of the hip's torque, last row
    const own = planned(input);
    const constant = net(
      planned(withLeg('joints.ankle.motor.fluxLinkage', k * flux), {
        change: { ...NO_CHANGE, torqueConstant: { knee: 1, ankle: k } },
      }),
    );
    const gains = net({ ...own, controller: () => louder(own.controller()) });
    const plain = net(own);
    expect(Math.abs(constant - plain)).toBeGreaterThan(0.05);
    // motors of another constant carry another current: heat and sag differ, torque does not
    expect(Math.abs(constant - gains)).toBeLessThan(0.02 * Math.abs(constant - plain));
  });

  test('a misread foot and thigh reach the controller, an error of the constant what it puts out', () => {
    const seen: number[][] = [];
    const inner = {
      begin: (m: Float64Array) => seen.push([...m]),
      tick: (m: Float64Array, command: Float64Array) => {
        seen.push([...m]);
        command[COMMAND.knee] = 10;
        command[COMMAND.ankle] = 20;
      },
    };
    const change = {
      ...NO_CHANGE,
      ankleNeutral: 0.1,
      thighReading: 0.01,
      socketFlexion: 0.02,
      torqueConstant: { knee: 1.1, ankle: 0.9 },
    };
    const measured = new Float64Array(MEASURED_SIZE).fill(1);
    const command = new Float64Array(COMMAND_SIZE);
    const outer = changedController({ ...inner, copy: () => inner }, change);
    outer.begin(measured, 0.5);
    outer.tick(measured, command);
    for (const m of seen) {
      expect(m[MEASURED.ankle]).toBeCloseTo(0.9, 14);
      expect(m[MEASURED.thigh]).toBeCloseTo(1.03, 14);
      expect(m[MEASURED.knee]).toBe(1);
    }
    expect(seen).toHaveLength(2);
    // a copy is changed likewise, and a controller that cannot be copied stays one
    outer.copy!().tick(measured, command);
    expect(seen.at(-1)![MEASURED.ankle]).toBeCloseTo(0.9, 14);
    expect(command[COMMAND.knee]).toBeCloseTo(11, 13);
    expect(changedController(inner, change).copy).toBeUndefined();
    expect(measured[MEASURED.ankle]).toBe(1);
    expect(command[COMMAND.knee]).toBeCloseTo(11, 13);
    expect(command[COMMAND.ankle]).toBeCloseTo(18, 13);
    const tilted = raised({ form: 'table', percent: [0, 100], value: [1, 2], periodic: false }, -0.5);
    expect(tilted).toMatchObject({ value: [0.5, 1.5] });
  });
});
