import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { LIMIT, LIMITS, WARN } from '../control/compile-controller.ts';
import { walkPlan } from '../study/walk-plan.ts';
import { dataController } from './data-controller.ts';
import { openTrials } from './fault-trial.ts';
import { loneBus, roomFault, spoilReading } from './room-fault.ts';
import { MEASURED, MEASURED_SIZE } from './walk-controller.ts';
import type { WalkFault } from './walk-fault.ts';
import { LOG, LOG_WIDTH, type WalkLog } from './walk-log.ts';
import { copyRoom, type WalkRoom, walkRoom } from './walk-room.ts';
import { walkRun } from './walk-run.ts';
import type { WalkSetup } from './walk-setup.ts';
import { walkSteps } from './walk-step.ts';
import { walkTick } from './walk-tick.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const plan = walkPlan(input, { speed: 1.1, thigh: 'led', control: 'study' });
if ('openBecause' in plan) throw new Error(plan.openBecause);
const { setup } = plan;
const STEP = 5e-4;

const bytes = ({ table }: WalkLog): Buffer => Buffer.from(table.slice().buffer);
const value = (log: WalkLog, row: number, place: number): number => log.table[row * LOG_WIDTH + place]!;
function goOn(room: WalkRoom, ticks: number): void {
  for (let k = 0; k < ticks; k++) {
    walkTick(room);
    walkSteps(room, room.perTick);
  }
}
const FAULTS: WalkFault[] = [
  { kind: 'power', time: 1.5 },
  { kind: 'pack', time: 1.5 },
  { kind: 'reading', time: 1.5, sensor: 'knee', how: 'stuck', lasts: Number.POSITIVE_INFINITY },
  { kind: 'reading', time: 1.5, sensor: 'thigh', how: 'missing', lasts: 0.03 },
  { kind: 'reading', time: 1.5, sensor: 'load', how: 'off', by: 100, lasts: Number.POSITIVE_INFINITY },
  { kind: 'hot', time: 1.5, winding: 390 },
  { kind: 'empty', time: 1.5, voltage: 30 },
];

describe('a walk with a fault', () => {
  test('the same seed gives the same bytes, another seed others', () => {
    const own = bytes(walkRun(setup, STEP, 2));
    expect(Buffer.compare(own, bytes(walkRun(setup, STEP, 2)))).toBe(0);
    const other = { ...setup, noise: { ...setup.noise!, seed: 2 } };
    expect(Buffer.compare(own, bytes(walkRun(other, STEP, 2)))).not.toBe(0);
  });

  test.each(FAULTS)('that comes after its end changes nothing: $kind', (fault) => {
    const sound = walkRun(setup, STEP, 1);
    const late = walkRun({ ...setup, fault: { ...fault, time: 10 } }, STEP, 1);
    expect(Buffer.compare(bytes(sound), bytes(late))).toBe(0);
  });

  test.each(FAULTS)(
    'that sets out from a sound walk goes as one that had it from the start: $kind',
    (fault) => {
      const sound = walkRoom(setup, STEP, 1);
      goOn(sound, 1500);
      const copy = copyRoom(sound, fault);
      goOn(copy, 300);
      const whole = walkRoom({ ...setup, fault }, STEP, 1);
      goOn(whole, 1800);
      expect([...copy.q, ...copy.v, ...copy.kneeDrive]).toEqual([...whole.q, ...whole.v, ...whole.kneeDrive]);
      // and the one it set out from knows nothing of it
      goOn(sound, 300);
      const never = walkRoom(setup, STEP, 1);
      goOn(never, 1800);
      expect([...sound.q, ...sound.v]).toEqual([...never.q, ...never.v]);
      if (fault.kind === 'power' || fault.kind === 'hot') expect([...copy.q]).not.toEqual([...never.q]);
    },
  );

  test.each(FAULTS)('balances its energy as a sound one: $kind', (fault) => {
    const { residual, moved } = walkRun({ ...setup, fault }, 2.5e-4, 2);
    expect(residual).toBeLessThan(0.002 * moved);
  });

  test.each(['open', 0, 0.7] as const)('phases %s never put energy in', (lost) => {
    const cut = {
      ...setup,
      knee: { ...setup.knee, lost },
      ankle: { ...setup.ankle, lost },
      fault: { kind: 'power', time: 0.6 } as const,
    };
    const log = walkRun(cut, 2.5e-4, 2);
    const from = Math.round(0.6 / log.period);
    for (let i = from + 1; i < log.rows; i++) {
      const more = value(log, i, LOG.works) - value(log, i - 1, LOG.works);
      if (lost === 'open') expect(more).toBe(0);
      else expect(more).toBeLessThanOrEqual(0);
    }
    expect(value(log, from + 5, LOG.mode)).toBe(3);
    expect(value(log, from + 5, LOG.kneePower)).toBe(0);
    if (lost !== 'open')
      expect(value(log, log.rows - 1, LOG.works)).toBeLessThan(value(log, from, LOG.works));
  });
});

describe('what a sensor says', () => {
  const told = (fault: WalkFault, ticks: number, place: number): number[] => {
    const of = roomFault(fault, setup);
    return Array.from({ length: ticks }, (_, tick) => {
      const measured = new Float64Array(MEASURED_SIZE).fill(tick);
      spoilReading(of, measured, tick);
      return measured[place]!;
    });
  };
  const from = { kind: 'reading', time: 3 * setup.period } as const;

  test('missing for so long, then right again', () => {
    const gone = { ...from, sensor: 'thigh', how: 'missing', lasts: 2 * setup.period } as const;
    const nan = Number.NaN;
    expect(told(gone, 7, MEASURED.thigh)).toEqual([0, 1, 2, nan, nan, 5, 6]);
    expect(told(gone, 7, MEASURED.thighRate)).toEqual([0, 1, 2, nan, nan, 5, 6]);
    expect(told(gone, 7, MEASURED.knee)).toEqual([0, 1, 2, 3, 4, 5, 6]);
  });

  test('stuck at what it said then; off by as much, once or for good', () => {
    const ever = Number.POSITIVE_INFINITY;
    expect(told({ ...from, sensor: 'knee', how: 'stuck', lasts: ever }, 6, MEASURED.knee)).toEqual([
      0, 1, 2, 3, 3, 3,
    ]);
    expect(told({ ...from, sensor: 'knee', how: 'off', by: 10, lasts: ever }, 5, MEASURED.knee)).toEqual([
      0, 1, 2, 13, 14,
    ]);
    expect(
      told({ ...from, sensor: 'load', how: 'off', by: 10, lasts: setup.period }, 5, MEASURED.load),
    ).toEqual([0, 1, 2, 13, 4]);
    // a thigh sensor that has turned still turns at the rate of the thigh
    expect(
      told({ ...from, sensor: 'thigh', how: 'off', by: 10, lasts: ever }, 5, MEASURED.thighRate),
    ).toEqual([0, 1, 2, 3, 4]);
  });
});

describe('a bus without its pack', () => {
  const C = 4.7e-3;
  const after = (bus: NonNullable<WalkSetup['bus']>, volts: number, watts: number, ms: number): number => {
    let v = volts;
    for (let k = 0; k < ms; k++) v = loneBus(bus, v, watts, 0, 1e-3);
    return v;
  };

  test('takes 8 J of braking from 36 V to √(V² + 2E/C), near 69 V', () => {
    const v = after({ capacitance: C }, 36, -80, 100);
    expect(v).toBeCloseTo(Math.sqrt(36 ** 2 + (2 * 8) / C), 9);
    expect(v).toBeGreaterThan(68);
    expect(v).toBeLessThan(70);
  });

  test('its resistor drains it as e^(−t/RC), down to where it lets go', () => {
    const bus = { capacitance: C, brakeResistor: { resistance: 5.9, threshold: 52 } };
    const exact = 58 * Math.exp(-2e-3 / (5.9 * C));
    expect(Math.abs(after(bus, 58, 0, 2) / exact - 1)).toBeLessThan(2e-3);
    expect(after(bus, 58, 0, 50)).toBeGreaterThan(51.8);
    expect(after(bus, 50, 0, 50)).toBe(50);
  });

  test('is empty once what it held is drawn', () => {
    const held = 0.5 * C * 44.4 ** 2;
    expect(after({ capacitance: C }, 44.4, held / 0.02, 19)).toBeGreaterThan(0);
    expect(after({ capacitance: C }, 44.4, held / 0.02, 21)).toBe(0);
  });
});

describe('trials', () => {
  const places = [0.05, 0.35, 0.62, 0.8];

  test('a fault that changes no number is survived everywhere', () => {
    const trials = openTrials(setup, STEP);
    const none = (time: number): WalkFault => ({
      kind: 'reading',
      time,
      sensor: 'knee',
      how: 'off',
      by: 0,
      lasts: Number.POSITIVE_INFINITY,
    });
    for (const place of places) {
      const [trial] = trials.at(place, [none]);
      expect(trial).toMatchObject({ place, outcome: 'survived', noticed: 0 });
    }
  });

  test('a fall is there again, at the same instant and for the same reason, when the whole walk is made with its fault', () => {
    const trials = openTrials(setup, 2.5e-4);
    let begun = 0;
    const lost =
      (sensor: 'load' | 'thigh' | 'knee', how: 'missing' | 'stuck') =>
      (time: number): WalkFault => {
        begun = time;
        return { kind: 'reading', time, sensor, how, lasts: Number.POSITIVE_INFINITY };
      };
    const faults = [lost('load', 'missing'), lost('load', 'stuck'), lost('knee', 'stuck')];
    let fallen = 0;
    for (const place of places)
      for (const [k, trial] of trials.at(place, faults).entries()) {
        if (trial.outcome !== 'fell') continue;
        fallen++;
        const again = walkRun({ ...setup, fault: faults[k]!(begun) }, 2.5e-4, 6);
        expect(again.fell?.why).toBe(trial.why);
        expect(again.fell!.time).toBeCloseTo(begun + trial.after!, 9);
      }
    expect(fallen).toBeGreaterThan(0);
  });

  test('a fault that its own watch sees is told by that watch', () => {
    const trials = openTrials(setup, STEP);
    const names = input.controller!.controller.watches.map(({ name }) => name);
    const ever = Number.POSITIVE_INFINITY;
    const found = trials.at(0.3, [
      (time) => ({ kind: 'reading', time, sensor: 'knee', how: 'missing', lasts: ever }),
      (time) => ({ kind: 'reading', time, sensor: 'load', how: 'missing', lasts: ever }),
      (time) => ({ kind: 'hot', time, winding: 273.15 + 121 }),
    ]);
    expect(found.map(({ noticed }) => names[noticed - 1])).toEqual(['knee-lost', 'load-lost', 'knee-hot']);
  });
});

describe('two encoders on a joint', () => {
  const names = input.controller!.controller.watches.map(({ name }) => name);
  const ever = Number.POSITIVE_INFINITY;
  const knee = (how: 'stuck' | 'off') => (time: number) =>
    ({ kind: 'reading', time, sensor: 'knee', how, by: (1.5 * Math.PI) / 180, lasts: ever }) as const;
  const trialsOf = (own: WalkSetup) => {
    const open = openTrials(own, 2.5e-4);
    return [0.1, 0.5].map((place) => open.at(place, [knee('stuck'), knee('off')]));
  };

  const both = trialsOf(setup);

  test('a knee angle that stands still, and one that has slipped by 1.5°, are found wherever they begin', () => {
    for (const found of both)
      for (const { noticed } of found)
        expect(['knee-encoders-apart', 'knee-encoder-wrong']).toContain(names[noticed - 1]);
  });

  test('with one encoder nothing is found of either, and the leg falls where it did not', () => {
    const { secondStep: _, ...one } = setup.knee;
    const blind = trialsOf({ ...setup, knee: one });
    const falls = (of: typeof blind) => of.filter(([stuck]) => stuck!.outcome === 'fell').length;
    for (const [stuck, slipped] of blind) {
      // all that is told is that there is no second reading
      for (const { noticed } of [stuck!, slipped!]) expect(names[noticed - 1]).toBe('knee-second-lost');
    }
    expect(falls(blind)).toBeGreaterThan(falls(both));
  });

  test('a second encoder reads the joint in its own steps', () => {
    const room = walkRoom(setup, STEP, 1);
    goOn(room, 200);
    walkTick(room);
    const turn = (2 * Math.PI) / 2 ** 14;
    for (const [j, place] of [
      [3, MEASURED.kneeSecond],
      [4, MEASURED.ankleSecond],
    ] as const) {
      const read = room.measured[place]!;
      expect(Math.abs(read - room.q[j]!)).toBeLessThanOrEqual(turn / 2);
      expect(Math.abs(read / turn - Math.round(read / turn))).toBeLessThan(1e-6);
    }
  });
});

describe('a pack that opens where nothing burns what is returned', () => {
  const { machine } = plan;
  const { capacitance } = setup.bus!;
  /** The study's controller without its fault of the bus, with its limit or without: ms until 57 V, most on the bus, ms above. */
  const walked = (time: number, limited: boolean) => {
    const watchTo = machine!.watchTo.slice();
    watchTo[machine!.watches.indexOf('bus-high')] = WARN;
    const limits = machine!.limits.slice();
    if (!limited) for (const j of [0, LIMITS]) limits[j + LIMIT.returned] = 1e9;
    const of = { ...machine!, watchTo, limits };
    const pack = { kind: 'pack', time } as const;
    const own = { ...setup, bus: { capacitance }, controller: () => dataController(of), fault: pack };
    const log = walkRun(own, STEP, 3);
    const bus = Array.from({ length: log.rows }, (_, i) => value(log, i, LOG.busVoltage)).slice(
      Math.round(time / log.period),
    );
    const first = bus.findIndex((v) => v > 57);
    return {
      first: first < 0 ? bus.length : first,
      most: Math.max(...bus),
      above: bus.filter((v) => v > 57).length,
    };
  };

  test.each([1.35, 2.3])('at %f s: the bus stays longer below 57 V, and rises less', (time) => {
    const [with_, without] = [walked(time, true), walked(time, false)];
    expect(without.above).toBeGreaterThan(0);
    expect(with_.first).toBeGreaterThanOrEqual(without.first);
    expect(with_.most).toBeLessThan(without.most);
    expect(with_.above).toBeLessThan(without.above / 2);
  });
});

describe('what cannot be tried', () => {
  test('a cut of power on a leg that does not say what its phases do then', () => {
    const { lost: _, ...knee } = setup.knee;
    expect(() => walkRun({ ...setup, knee, fault: { kind: 'power', time: 0 } }, STEP, 1)).toThrow(
      'What the knee’s phases do without power is not known. Add `lossOfPower` under `electronics` in the leg file',
    );
  });

  test('an opening pack on a bus of unknown capacitance', () => {
    const { bus: _, ...rest } = setup;
    expect(() => walkRun({ ...rest, fault: { kind: 'pack', time: 0 } }, STEP, 1)).toThrow(
      /Add `capacitance` under `bus`/,
    );
  });

  test('a fault before the walk', () => {
    expect(() => walkRun({ ...setup, fault: { kind: 'hot', time: -1, winding: 390 } }, STEP, 1)).toThrow(
      /cannot begin at -1 s/,
    );
  });

  test('a controller that cannot go on twice from one place', () => {
    const { copy: _, ...once } = setup.controller();
    const room = walkRoom({ ...setup, controller: () => once }, STEP, 1);
    expect(() => copyRoom(room, { kind: 'power', time: 0 })).toThrow(/cannot go on twice/);
  });
});
