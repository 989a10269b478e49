// A slope read by the leg and what it does. What is expected is closed form (dead band, smoothing, limits), or a law: a leg that leans with
// its ground is the level leg in a turned frame, so a slope that is read does what the same slope does that is told.
import { describe, expect, test } from 'vitest';
import { type CompiledController, compileController } from './compile-controller.ts';
import type { Controller, SlopeChoice } from './controller.ts';
import { controllerState, copiedState, INPUT, OUTPUT, OUTPUTS } from './controller-memory.ts';
import { controllerTick } from './controller-tick.ts';
import { takeSlope } from './slope-tick.ts';
import { SLOPE_STATUS, SPEED } from './speed-memory.ts';
import { turnedMap } from './swing-map.ts';
import { carried, machine, points, T, WALK as TOLD } from './test-speed.ts';
import { WALK, WALK_STATUS, walkState } from './walk-estimate.ts';

const DEG = Math.PI / 180;
const slope: SlopeChoice = { from: -0.2, to: 0.2, level: 0.02, share: 1, change: 0.5, hold: 3 };

/** Slope after each stance: [foot, lean] in rad, or what else the stance came to. */
function taken(
  of: SlopeChoice,
  stances: readonly (readonly [number, number] | { readonly status?: number; readonly walks?: false })[],
): { slope: number; status: number }[] {
  const own = new Float64Array(9);
  const walk = walkState();
  return stances.map((stance) => {
    const [foot, lean] = 'length' in stance ? stance : [0.1, 0.1];
    walk[WALK.status] = ('length' in stance ? undefined : stance.status) ?? WALK_STATUS.read;
    walk[WALK.incline] = foot;
    takeSlope(of, own, walk, lean, 'length' in stance || stance.walks !== false);
    return { slope: own[SPEED.slope]!, status: own[SPEED.slopeStatus]! };
  });
}
const slopes = (of: SlopeChoice, stances: Parameters<typeof taken>[1]): number[] =>
  taken(of, stances).map((one) => one.slope);

describe('CTL-SLOPE what a stance makes of the slope', () => {
  test('up to the level nothing, from twice as much on the whole, between the two joined without a step', () => {
    const last = (x: number): number => slopes(slope, [[x, x]])[0]!;
    for (const sign of [1, -1]) {
      for (const x of [0, 0.01, 0.02]) expect(Math.abs(last(sign * x))).toBe(0);
      for (const x of [0.04, 0.1, 0.2]) expect(last(sign * x)).toBeCloseTo(sign * x, 12);
      expect(last(sign * 0.03)).toBeCloseTo((sign * 0.03) / 2, 12);
    }
    // nowhere steeper than it is at the end of the way, 3: by difference quotients
    for (let x = -0.06; x < 0.06; x += 1e-3) expect(Math.abs(last(x + 1e-3) - last(x))).toBeLessThan(3.01e-3);
  });

  test('smoothed, n stances of one slope leave (1 − w)ⁿ of it', () => {
    const share = 0.4;
    const found = slopes({ ...slope, share }, Array(6).fill([0.15, 0.15]));
    found.forEach((value, n) => {
      expect(value).toBeCloseTo(0.15 * (1 - (1 - share) ** (n + 1)), 12);
    });
  });

  test('no stance moves it by more than `change`, up or down', () => {
    const found = slopes({ ...slope, change: 0.05 }, [
      ...Array(4).fill([0.15, 0.15]),
      ...Array(4).fill([0, 0]),
    ]);
    const expected = [0.05, 0.1, 0.15, 0.15, 0.1, 0.05, 0, 0];
    found.forEach((value, n) => {
      expect(value).toBeCloseTo(expected[n]!, 12);
    });
  });

  test('the smaller of foot and thigh counts; one of them alone is level ground', () => {
    expect(slopes(slope, [[0.15, 0.1]])[0]).toBeCloseTo(0.1, 12);
    expect(slopes(slope, [[-0.1, -0.15]])[0]).toBeCloseTo(-0.1, 12);
    // an encoder that has slipped turns the foot alone; a long stride the thigh alone
    for (const pair of [
      [0.15, 0.01],
      [0.15, -0.01],
      [-0.01, 0.15],
      [0, -0.15],
    ] as const)
      expect(Math.abs(slopes(slope, [pair])[0]!)).toBe(0);
  });

  test('what is refused leaves it and says why; after `hold` of them in a row it is level again', () => {
    const up = [0.1, 0.1] as const;
    for (const [stance, status] of [
      [{ status: WALK_STATUS['speed outside'] }, SLOPE_STATUS['speed outside']],
      [{ status: WALK_STATUS['incline outside'] }, SLOPE_STATUS['incline outside']],
      [{ status: WALK_STATUS['no flat foot'] }, SLOPE_STATUS['no flat foot']],
      [{ status: WALK_STATUS['no number'] }, SLOPE_STATUS['no number']],
      [{ walks: false }, SLOPE_STATUS['no walking']],
      [[0.25, 0.25], SLOPE_STATUS['beyond its ends']],
      [[-0.25, -0.21], SLOPE_STATUS['beyond its ends']],
      // one says up, the other down
      [[0.1, -0.1], SLOPE_STATUS['no number']],
      [[0.1, Number.NaN], SLOPE_STATUS['no number']],
    ] as const) {
      const found = taken(slope, [up, stance, stance, stance, up]);
      expect(found.map((one) => one.status)).toEqual([
        WALK_STATUS.read,
        status,
        status,
        status,
        WALK_STATUS.read,
      ]);
      [0.1, 0.1, 0.1, 0, 0.1].forEach((value, n) => {
        expect(found[n]!.slope).toBeCloseTo(value, 12);
      });
    }
  });
});

const REACH = 0.35;
const STRIDE = 1.2;
const of = (over: Partial<Controller>, turn = 0, drives?: number): CompiledController => {
  const map = (part: 'stance' | 'swing') => {
    const own = carried(REACH, part, STRIDE);
    return { ...own, map: turnedMap(own.map, own.sign * turn) };
  };
  const layers = <Of>(each: Of) => ({
    bySpeed: [
      { speed: 0.75, of: each },
      { speed: 1.75, of: each },
    ],
  });
  const joint = { windUp: drives ?? 0, unwinds: 0, ahead: drives ?? 0, copper: 0 };
  return compileController(
    { ...machine, speed: { ...machine.speed!, start: 1.25 }, ...over },
    {
      period: T,
      bodyWeight: 800,
      maps: { back: layers(map('stance')), forth: layers(map('swing')) },
      schedules: { knee: points(0), ankle: points(0) },
      walk: TOLD,
      drives: { knee: joint, ankle: joint },
    },
  );
};
const reads = of({ slope });
const KNEE = 0.1;

/** A leg that leans with its ground by `lean`, its foot flat all through stance and pitched by `pitch` more than the leg leans. */
function leaning(t: number, lean: number, pitch = 0): Float64Array {
  const place = (t / STRIDE) % 1;
  const thigh = 0.05 + REACH * Math.cos(2 * Math.PI * place);
  const row = new Float64Array(12).fill(Number.NaN, INPUT.kneeSecond);
  row[INPUT.thigh] = thigh + lean;
  row[INPUT.thighRate] = (-2 * Math.PI * REACH * Math.sin(2 * Math.PI * place)) / STRIDE;
  row[INPUT.knee] = KNEE;
  row[INPUT.ankle] = KNEE - thigh + pitch;
  row[INPUT.load] = place < 0.5 ? 800 : 0;
  row[INPUT.elapsed] = T;
  return row;
}

function walked(
  by: CompiledController,
  strides: number,
  row: (t: number, out: Float64Array) => Float64Array,
  state = controllerState(by),
): Float64Array[] {
  let out = new Float64Array(OUTPUTS);
  return Array.from({ length: Math.round((strides * STRIDE) / T) }, (_, k) => {
    const before = out;
    out = new Float64Array(OUTPUTS);
    controllerTick(by, state, row(k * T, before), out);
    return out;
  });
}
const perStride = Math.round(STRIDE / T);
/** The last of `strides` strides. */
const lastStride = (outs: readonly Float64Array[]): readonly Float64Array[] => outs.slice(-perStride);

describe('CTL-SLOPE a leg that leans with its ground', () => {
  for (const lean of [5 * DEG, -5 * DEG]) {
    const outs = walked(reads, 4, (t) => leaning(t, lean));

    test(`reads ${(lean / DEG).toFixed(0)}° after its second stance, the first that begins with a contact`, () => {
      const after = (stances: number): number => outs[stances * perStride - 10]![OUTPUT.slope]!;
      expect(after(1)).toBe(0);
      // the foot is down 5 ms, the hold of its transition, before its thigh is looked at: it has gone back by a few 0.01° then
      expect(Math.abs(after(2) - lean)).toBeLessThan(0.02 * DEG);
      expect(outs.at(-1)![OUTPUT.slopeStatus]).toBe(SLOPE_STATUS.read);
    });

    test(`does what the slope of ${(lean / DEG).toFixed(0)}° does when it is told`, () => {
      const told = lastStride(walked(of({}, outs.at(-1)![OUTPUT.slope]!), 4, (t) => leaning(t, lean)));
      lastStride(outs).forEach((out, k) => {
        expect(out[OUTPUT.state]).toBe(told[k]![OUTPUT.state]);
        // latched in steps of 1/4096 rad, over a way of 0.6 rad
        expect(Math.abs(out[OUTPUT.phase]! - told[k]![OUTPUT.phase]!)).toBeLessThan(1e-3);
      });
    });

    test(`is on ${(lean / DEG).toFixed(0)}° the level leg in a turned frame: state, phase and torque`, () => {
      const level = lastStride(walked(reads, 4, (t) => leaning(t, 0)));
      let most = 0;
      lastStride(outs).forEach((out, k) => {
        expect(out[OUTPUT.state]).toBe(level[k]![OUTPUT.state]);
        expect(Math.abs(out[OUTPUT.phase]! - level[k]![OUTPUT.phase]!)).toBeLessThan(1e-3);
        for (const j of [OUTPUT.kneeTorque, OUTPUT.ankleTorque])
          most = Math.max(most, Math.abs(out[j]! - level[k]![j]!));
      });
      expect(most).toBeLessThan(0.3);
      // and untold it is not
      const untold = lastStride(walked(of({}), 4, (t) => leaning(t, lean)));
      expect(untold.some((out, k) => Math.abs(out[OUTPUT.phase]! - level[k]![OUTPUT.phase]!) > 0.02)).toBe(
        true,
      );
    });
  }

  test('on the level it is the controller without a slope, to the last bit', () => {
    const row = (t: number): Float64Array => leaning(t, 0.015 * Math.sin(3 * t), 0.01 * Math.cos(5 * t));
    const [one, other] = [walked(reads, 6, row), walked(of({}), 6, row)];
    expect(one.some((out) => out[OUTPUT.slopeStatus] === SLOPE_STATUS.read)).toBe(true);
    const differ = one.filter((out, k) => out.some((x, i) => i < OUTPUT.slope && x - other[k]![i]! !== 0));
    expect(differ.length).toBe(0);
  });

  test('a foot that says a slope which the thigh does not, as a slipped encoder does, moves nothing', () => {
    const outs = walked(reads, 4, (t) => leaning(t, 0, 6 * DEG));
    expect(outs.every((out) => out[OUTPUT.slope] === 0)).toBe(true);
  });

  test('a thigh that has turned is a slope to it, and is warned of all the same', () => {
    const wanders = {
      name: 'wanders',
      sensor: 'thigh',
      detect: 'wanders',
      time: 0,
      limit: 3 * DEG,
      reaction: 'warn',
    } as const;
    const [with_, without] = [{ slope }, {}].map((over) => {
      const outs = walked(of({ watches: [wanders], ...over }), 8, (t) => leaning(t, 5 * DEG, 0));
      return {
        turned: outs.at(-1)![OUTPUT.slope]!,
        first: outs.findIndex((out) => out[OUTPUT.warning] === 1),
      };
    });
    expect(with_!.turned / DEG).toBeCloseTo(5, 1);
    expect(with_!.first).toBeGreaterThan(0);
    expect(with_!.first).toBe(without!.first);
  });

  test('after quiet standing the ground is level again', () => {
    const state = controllerState(reads);
    walked(reads, 3, (t) => leaning(t, 5 * DEG), state);
    expect(state.speed!.own[SPEED.slope]).not.toBe(0);
    // without a transition back to it in this machine the state is entered by a fault that leads there
    const rest = of({
      slope,
      watches: [{ name: 'lost', sensor: 'load', detect: 'missing', time: 0, reaction: 'safe' }],
    });
    const again = controllerState(rest);
    walked(rest, 3, (t) => leaning(t, 5 * DEG), again);
    const out = new Float64Array(OUTPUTS);
    const lost = leaning(3 * STRIDE + 0.1, 5 * DEG);
    lost[INPUT.load] = Number.NaN;
    for (let k = 0; k < 3; k++) controllerTick(rest, again, lost, out);
    expect(rest.states[out[OUTPUT.state]!]).toBe('safe');
    expect(out[OUTPUT.slope]).toBe(0);
    expect(out[OUTPUT.slopeStatus]).toBe(SLOPE_STATUS['not read']);
  });

  test('a run that is copied in the middle goes on by itself, and the same', () => {
    const state = controllerState(reads);
    walked(reads, 2.7, (t) => leaning(t, -4 * DEG), state);
    const other = copiedState(reads, state);
    const on = (t: number): Float64Array => leaning(2.7 * STRIDE + t, -4 * DEG);
    expect(walked(reads, 1, on, state)).toEqual(walked(reads, 1, on, other));
  });

  test('sensors that give no number, or the same one for ever: the slope stays a number within its ends', () => {
    for (const sensor of [
      INPUT.thigh,
      INPUT.knee,
      INPUT.ankle,
      INPUT.load,
      INPUT.kneeSecond,
      INPUT.ankleSecond,
    ])
      for (const how of ['gone', 'stuck', 'wild'] as const) {
        const outs = walked(reads, 5, (t) => {
          const row = leaning(t, 5 * DEG);
          if (t > 2.13 * STRIDE)
            row[sensor] = how === 'gone' ? Number.NaN : how === 'stuck' ? 0.123 : 1e5 * Math.sin(99 * t);
          return row;
        });
        const wrong = outs.filter(
          (out) => !out.every(Number.isFinite) || Math.abs(out[OUTPUT.slope]!) > slope.to,
        );
        expect(wrong.length).toBe(0);
      }
  });
});

describe('CTL-SLOPE gears that wind up', () => {
  const GEARS = 900;
  const soft = of({ slope }, 0, 1 / GEARS);
  /** The first encoder before the gears, which wind up under the torque that was asked a tick ago. */
  const wound = (t: number, before: Float64Array): Float64Array => {
    const row = leaning(t, 5 * DEG);
    row[INPUT.knee]! += before[OUTPUT.kneeTorque]! / GEARS;
    row[INPUT.ankle]! += before[OUTPUT.ankleTorque]! / GEARS;
    return row;
  };
  const last = (outs: readonly Float64Array[]): number => outs.at(-1)![OUTPUT.slope]!;

  test('what they wind up is taken off, or read by the encoder behind them: the slope is that of the rigid leg', () => {
    const rigid = last(walked(reads, 4, (t) => leaning(t, 5 * DEG)));
    expect(last(walked(soft, 4, wound))).toBeCloseTo(rigid, 5);
    const both = (t: number, before: Float64Array): Float64Array => {
      const row = wound(t, before);
      const joint = leaning(t, 5 * DEG);
      row[INPUT.kneeSecond] = joint[INPUT.knee]! + 2 * Math.PI;
      row[INPUT.ankleSecond] = joint[INPUT.ankle]!;
      return row;
    };
    expect(last(walked(soft, 4, both))).toBeCloseTo(rigid, 5);
    // and it would not be nothing: the ankle's torque winds its gears up by degrees
    const outs = walked(soft, 4, wound);
    expect(Math.max(...outs.map((out) => Math.abs(out[OUTPUT.ankleTorque]!))) / GEARS).toBeGreaterThan(
      2 * DEG,
    );
  });

  test('two encoders further apart than is watched: the stance is not read', () => {
    const apart = {
      name: 'apart',
      sensor: 'ankleSecond',
      detect: 'disagrees',
      time: 0,
      limit: 2 * DEG,
      reaction: 'warn',
    } as const;
    const by = of({ slope, watches: [apart] });
    const outs = (off: number) =>
      walked(by, 2.8, (t) => {
        const row = leaning(t, 5 * DEG);
        row[INPUT.ankleSecond] = row[INPUT.ankle]! + (t < 2.1 * STRIDE || t > 2.2 * STRIDE ? 0 : off);
        return row;
      });
    expect(outs(1 * DEG).at(-1)![OUTPUT.slopeStatus]).toBe(SLOPE_STATUS.read);
    expect(last(outs(3 * DEG))).toBe(last(walked(by, 2, (t) => leaning(t, 5 * DEG))));
    expect(outs(3 * DEG).at(-1)![OUTPUT.slopeStatus]).toBe(SLOPE_STATUS['no number']);
    // for good: after three stances that say nothing the ground is level
    const gone = walked(by, 6, (t) => {
      const row = leaning(t, 5 * DEG);
      if (t > 2.1 * STRIDE) row[INPUT.ankleSecond] = row[INPUT.ankle]! + 3 * DEG;
      return row;
    });
    expect(gone[4 * perStride]![OUTPUT.slope]).not.toBe(0);
    expect(last(gone)).toBe(0);
  });
});

describe('CTL-SLOPE what a file may not say', () => {
  test('a range beyond what the reading was tried on, and a slope where nothing goes by speed', () => {
    expect(() => of({ slope: { ...slope, to: 0.35 } })).toThrow(
      /reading of a slope was tried from -17\.2° to 17\.2°, and 20\.1° lies beyond\. Stay within/,
    );
    const own = carried(REACH, 'swing', STRIDE);
    expect(() =>
      compileController(
        {
          ...machine,
          slope,
          phases: {
            back: { task: 'a', part: 'stance', finish: true },
            forth: { task: 'a', part: 'swing', finish: true },
          },
        },
        {
          period: T,
          bodyWeight: 1,
          maps: { back: carried(REACH, 'stance', STRIDE), forth: own },
          schedules: { knee: points(0), ankle: points(0) },
        },
      ),
    ).toThrow(
      /the slope is read in the stances that the speed is read in, and nothing goes by speed\. Name several tasks/,
    );
  });
});
