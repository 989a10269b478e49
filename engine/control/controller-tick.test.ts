import { describe, expect, test } from 'vitest';
import { compileController } from './compile-controller.ts';
import type { JointLimits } from './controller.ts';
import { LIMIT_BIT, OUTPUT } from './controller-memory.ts';
import { statesOf, ticked, twoStates } from './test-controller.ts';

const machine = compileController(twoStates, { period: 0.01, bodyWeight: 1, maps: {}, schedules: {} });
const letters = (rows: Parameters<typeof ticked>[1]): string =>
  statesOf(machine, ticked(machine, rows))
    .map((name) => ({ swing: 'W', stance: 'T', safe: 'S' })[name])
    .join('');

// The expected sequences follow from the stated thresholds, counts and dwell times by hand: a condition must hold n samples in a row,
// the dwell counter is advanced before it is compared.
describe('CTL-FSM', () => {
  test('A: a dip of two samples and a bounce within the least swing do not switch', () => {
    const load = [
      0, 0.05, 0.09, 0.07, 0.09, 0.12, 0.5, 0.9, 0.9, 0.03, 0.03, 0.5, 0.9, 0.8, 0.6, 0.3, 0.05, 0.03, 0.05,
      0.03, 0.02, 0.01, 0, 0, 0.1, 0.1, 0, 0,
    ];
    const thigh = [
      0.3, 0.3, 0.3, 0.3, 0.3, 0.25, 0.2, 0.15, 0.1, 0.05, 0.05, 0, -0.05, -0.1, -0.12, -0.14, -0.15, -0.16,
      -0.15, -0.14, -0.12, -0.1, -0.05, 0, 0.1, 0.15, 0.2, 0.25,
    ];
    expect(letters(load.map((l, k) => ({ load: l, thigh: thigh[k]! })))).toBe('WWWWWTTTTTTTTTTTTTTTTWWWWWWW');
  });

  test('B: a thigh that gives no number for more than 50 ms, latched when it comes back', () => {
    const rows = Array.from({ length: 22 }, (_, k) => ({
      load: 0.5,
      thigh: k >= 13 && k <= 19 ? Number.NaN : 0.1 + 1e-3 * k,
    }));
    expect(letters(rows)).toBe('WTTTTTTTTTTTTTTTTTSSSS');
    const out = ticked(machine, rows);
    expect(out[17]![OUTPUT.fault]).toBe(0);
    expect(out[18]![OUTPUT.fault]).toBe(1);
    expect(out[21]![OUTPUT.fault]).toBe(1);
  });

  test('C: a step of 0.20 rad in one sample, in that sample, without a kick from the damper', () => {
    const rows = Array.from({ length: 9 }, (_, k) => ({ load: 0.5, knee: k >= 6 ? 0.3 : 0.1 }));
    expect(letters(rows)).toBe('WTTTTTSSS');
    const out = ticked(machine, rows);
    expect(out[6]![OUTPUT.fault]).toBe(2);
    expect(Math.abs(out[6]![OUTPUT.kneeTorque]!)).toBeLessThan(1e-9);
  });

  test('D: torque derates from 80 to 100 °C, then the safe state is latched', () => {
    const out = ticked(
      machine,
      [70, 80, 85, 90, 95, 100, 101, 70].map((kneeWinding) => ({ load: 0.5, kneeWinding })),
    );
    const most = out.map((o) => o[OUTPUT.kneeMost]!);
    [120, 120, 90, 60, 30, 0, 0, 120].forEach((expected, k) => {
      expect(most[k]).toBeCloseTo(expected, 9);
    });
    expect(statesOf(machine, out).at(-2)).toBe('safe');
    expect(statesOf(machine, out).at(-1)).toBe('safe');
    expect(out.at(-1)![OUTPUT.fault]).toBe(3);
  });

  test('E: 100 ms without load and the thigh forward is a shift of weight, no swing', () => {
    const rows = Array.from({ length: 24 }, (_, k) => ({ load: k >= 12 && k < 22 ? 0 : 0.5, thigh: 0.2 }));
    expect(letters(rows)).toBe(`W${'T'.repeat(23)}`);
  });
});

// One joint as a spring of 100 N·m/rad about 0 with a damper of 2 N·m·s/rad, one limit at a time, against its own formula by hand.
describe('limits, last and in order', () => {
  const wide = twoStates.limits.knee;
  const knee = (limits: Partial<JointLimits>, rows: Parameters<typeof ticked>[1], copper = 0) => {
    const drive = { windUp: 0, unwinds: 0, ahead: 0, copper };
    const of = compileController(
      { ...twoStates, watches: [], limits: { ...twoStates.limits, knee: { ...wide, ...limits } } },
      {
        ...{ period: 0.01, bodyWeight: 1, maps: {}, schedules: {} },
        drives: { knee: drive, ankle: drive },
      },
    );
    return ticked(of, rows).map((out) => ({
      torque: out[OUTPUT.kneeTorque]!,
      acts: out[OUTPUT.kneeLimits]!,
      most: out[OUTPUT.kneeMost]!,
    }));
  };

  test('torque, and its fade towards the end of the range, the way out left free', () => {
    expect(knee({}, [{ knee: 2 }])[0]).toMatchObject({ torque: -120, acts: LIMIT_BIT.torque });
    // 0.04 rad from the end of the range at −1, over a margin of 0.1: two fifths of 120 N·m, flexing is free
    const near = { from: -1, to: 2, margin: 0.1 };
    const [pushed] = knee({ ...near, torque: 60 }, [{ knee: 1.98 }]);
    expect(pushed!.torque).toBe(-60);
    const spring = knee({ from: 0.5, to: 2, margin: 0.1 }, [{ knee: 0.54 }])[0]!;
    expect(spring.torque).toBeCloseTo(-120 * 0.4, 4);
    expect(spring.acts).toBe(LIMIT_BIT.torque);
  });

  test('speed: what speeds the joint up fades, what brakes it does not', () => {
    // the joint runs towards its rest: the spring speeds it up. 0.3 rad a tick of 10 ms, filter pole e^(−2π·60·0.01)
    const rate = (1 - Math.exp(-2 * Math.PI * 60 * 0.01)) * -30;
    const limits = { fadeSpeed: 20, speed: 40, torque: 30 };
    const towards = knee(limits, [{ knee: 1.3 }, { knee: 1 }])[1]!;
    expect(-100 - 2 * rate).toBeLessThan(-30);
    expect(towards.torque).toBeCloseTo((-30 * (40 + rate)) / 20, 2);
    expect(towards.acts).toBe(LIMIT_BIT.torque | LIMIT_BIT.speed);
    const away = knee(limits, [{ knee: 0.7 }, { knee: 1 }])[1]!;
    expect(away).toMatchObject({ torque: -30, acts: LIMIT_BIT.torque });
  });

  test('heat, then change of torque: both are recorded', () => {
    const [first, second] = knee({ slew: 1000 }, [
      { knee: 0.9, kneeWinding: 90 },
      { knee: 0.9, kneeWinding: 90 },
    ]);
    // 90 N·m asked, 60 left at 90 °C, 10 N·m a tick
    expect(first).toEqual({
      torque: expect.closeTo(-10, 4),
      acts: LIMIT_BIT.heat | LIMIT_BIT.slew,
      most: 60,
    });
    expect(second!.torque).toBeCloseTo(-20, 4);
  });

  describe('power returned to the bus', () => {
    const returned = { power: 400, fadeBus: 50, bus: 60 };
    // 0.3 rad in a tick of 10 ms away from its rest: spring and damper brake, at a speed that the filter lets through
    const rate = (1 - Math.exp(-2 * Math.PI * 60 * 0.01)) * 30;
    const braked = (bus: number, copper = 0) =>
      knee(
        { returned, torque: 1000 },
        [
          { knee: 0.7, bus },
          { knee: 1, bus },
        ],
        copper,
      )[1]!;
    const asked = -100 - 2 * rate;

    test('falls in a straight line from the one voltage to the other: P/ω of torque is left where nothing is burnt', () => {
      for (const [bus, share] of [
        [44, 1],
        [50, 1],
        [52.5, 0.75],
        [55, 0.5],
        [59, 0.1],
      ] as const) {
        expect(braked(bus).torque * rate).toBeCloseTo(-share * 400, 3);
        expect(braked(bus).acts).toBe(LIMIT_BIT.bus);
      }
      for (const bus of [60, 70]) expect(braked(bus)).toMatchObject({ acts: LIMIT_BIT.bus });
      for (const bus of [60, 70]) expect(Math.abs(braked(bus).torque)).toBe(0);
    });

    test('what the windings burn is not returned: the smaller root of c·τ² − ω·τ + P = 0', () => {
      const [c, P] = [0.1, 200];
      const { torque, acts } = braked(55, c);
      expect(acts).toBe(LIMIT_BIT.bus);
      expect(-torque).toBeCloseTo((rate - Math.sqrt(rate ** 2 - 4 * c * P)) / (2 * c), 3);
      expect(-torque * rate - c * torque ** 2).toBeCloseTo(P, 2);
      // so much copper that the asked torque returns less than that: it is left alone
      expect(braked(55, 0.2)).toMatchObject({ torque: expect.closeTo(asked, 3), acts: 0 });
    });

    test('what drives the joint, and what stands, is not limited; heat goes before, slew after', () => {
      const still = knee({ returned }, [{ knee: 0.9, bus: 70 }])[0]!;
      expect(still).toMatchObject({ torque: expect.closeTo(-90, 4), acts: 0 });
      const towards = knee({ returned, torque: 1000 }, [
        { knee: 1.3, bus: 70 },
        { knee: 1, bus: 70 },
      ])[1]!;
      expect(towards).toMatchObject({ torque: expect.closeTo(-100 + 2 * rate, 3), acts: 0 });
      const all = knee({ returned, torque: 120, slew: 100 }, [
        { knee: 0.7, bus: 55, kneeWinding: 90 },
        { knee: 1, bus: 55, kneeWinding: 90 },
      ])[1]!;
      expect(all.acts).toBe(LIMIT_BIT.torque | LIMIT_BIT.heat | LIMIT_BIT.bus | LIMIT_BIT.slew);
      expect(all.torque).toBeCloseTo(-2, 4);
    });

    test('left out, nothing is limited at any voltage', () => {
      expect(
        knee({ torque: 1000 }, [
          { knee: 0.7, bus: 1e5 },
          { knee: 1, bus: 1e5 },
        ])[1],
      ).toMatchObject({
        torque: expect.closeTo(asked, 3),
        acts: 0,
      });
    });
  });
});
