import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { Fault } from '../quantity/fault.ts';
import { LOG, LOG_WIDTH, type WalkLog, WORKS } from '../walk/walk-log.ts';
import { openWalk, walkRun } from '../walk/walk-run.ts';
import type { WalkSetup } from '../walk/walk-setup.ts';
import type { StudyInput } from './study-input.ts';
import { type WalkChoice, walkPlan } from './walk-plan.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);

function setupOf(choice: WalkChoice, of: StudyInput = input): WalkSetup {
  const plan = walkPlan(of, choice);
  if ('openBecause' in plan) throw new Error(plan.openBecause);
  return plan.setup;
}

/** One column of the rows from `from` on, before `to`. */
const column = ({ table }: WalkLog, place: number, from: number, to: number): number[] =>
  Array.from({ length: to - from }, (_, i) => table[(from + i) * LOG_WIDTH + place]!);

/** A speed at which a stride takes exactly 1.2 s, a whole number of every step tried here. */
const EVEN = setupOf({ speed: 1.1 }).course.hip.strideLength / 1.2;
const even = { ...setupOf({ speed: 1.1 }), course: { ...setupOf({ speed: 1.1 }).course, speed: EVEN } };

const at = (log: WalkLog, row: number, place: number) => log.table[row * LOG_WIDTH + place]!;
/** Rows of stride `k` from the reference's contact on; the walk begins at 80 % of its stride before. */
const strideRows = ({ strideTime, period }: WalkLog, k: number) => {
  const rows = Math.round(strideTime / period);
  const first = Math.round(0.2 * rows) + k * rows;
  return [first, first + rows] as const;
};

describe('the energy of the walk', () => {
  test('balances at every step to far less than a half per cent, and twice as well with half the step', () => {
    const missed = [5e-4, 2.5e-4, 1.25e-4].map((step) => {
      const { residual, moved } = walkRun(even, step, 2);
      expect(residual).toBeLessThan(0.002 * moved);
      return residual;
    });
    expect(missed[0]! / missed[1]!).toBeGreaterThan(1.8);
    expect(missed[0]! / missed[1]!).toBeLessThan(2.2);
    expect(missed[1]! / missed[2]!).toBeGreaterThan(1.8);
    expect(missed[1]! / missed[2]!).toBeLessThan(2.2);
  });

  test('a step too large for the ground is refused by it, with a smaller one to take', () => {
    const hard = { ...even, sole: { ...even.sole, stickStiffness: 3e7, stickDamping: 1500 } };
    let fault: unknown;
    try {
      walkRun(hard, 1e-3, 2);
    } catch (error) {
      fault = error;
    }
    expect(fault).toBeInstanceOf(Fault);
    expect((fault as Fault).message).toMatch(
      /With steps of 1 ms the energy misses .* Take a smaller step, such as 0.5 ms/,
    );
  });

  test('a step that does not divide the controller’s period', () => {
    expect(() => openWalk(even, 3e-4, 1)).toThrow(/does not divide the controller’s period of 1 ms/);
  });

  test('all that works on leg and body is in the log, and their sum is the energy gained', () => {
    const log = walkRun(even, 2.5e-4, 3);
    const last = log.rows - 1;
    let sum = 0;
    for (let k = 0; k < WORKS.length; k++) sum += at(log, last, LOG.works + k);
    // over a whole stride the energy comes back: what the works sum to is small beside what each moves
    const before = last - Math.round(log.strideTime / log.period);
    let gained = 0;
    for (let k = 0; k < WORKS.length; k++)
      gained += at(log, last, LOG.works + k) - at(log, before, LOG.works + k);
    expect(Math.abs(gained)).toBeLessThan(0.02 * log.moved);
    expect(Number.isFinite(sum)).toBe(true);
    // friction and stops only take
    expect(at(log, last, LOG.works + 1)).toBeLessThan(0);
  });
});

describe('accuracy', () => {
  test('angles within 0.05° of 20 µs steps at 0.25 ms over the first strides', () => {
    const fine = walkRun(even, 2e-5, 2);
    const off = (step: number) => {
      const log = walkRun(even, step, 2);
      let sum = 0;
      for (let i = 0; i < log.rows; i++)
        sum +=
          (at(log, i, LOG.knee) - at(fine, i, LOG.knee)) ** 2 +
          (at(log, i, LOG.ankle) - at(fine, i, LOG.ankle)) ** 2;
      return (Math.sqrt(sum / log.rows / 2) * 180) / Math.PI;
    };
    const [coarse, half] = [off(2.5e-4), off(1.25e-4)];
    expect(coarse).toBeLessThan(0.05);
    expect(half).toBeLessThan(0.7 * coarse);
  });
});

describe('laws of the walk', () => {
  test('the same setup gives the same bytes', () => {
    const [a, b] = [walkRun(even, 5e-4, 2), walkRun(even, 5e-4, 2)];
    expect(Buffer.compare(Buffer.from(a.table.slice().buffer), Buffer.from(b.table.slice().buffer))).toBe(0);
  });

  test('on a treadmill as on the ground: the same leg, the same forces; only the hip’s forward power differs', () => {
    const [belt, ground] = [walkRun(even, 5e-4, 2), walkRun({ ...even, ground: 'overground' }, 5e-4, 2)];
    for (const place of [LOG.knee, LOG.ankle, LOG.up, LOG.forward, LOG.hipTorque, LOG.socketMoment]) {
      const [a, b] = [column(belt, place, 0, belt.rows), column(ground, place, 0, ground.rows)];
      const scale = a.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
      a.forEach((x, i) => {
        expect(Math.abs(x - b[i]!)).toBeLessThan(1e-5 * scale);
      });
    }
    // what the belt gives on the treadmill the hip gives on the ground: v times the same force
    const last = belt.rows - 1;
    const forward = (log: WalkLog) => at(log, last, LOG.works + 5) + at(log, last, LOG.works + 8);
    expect(Math.abs(forward(belt) - forward(ground))).toBeLessThan(0.01 * belt.moved);
    expect(Math.abs(at(belt, last, LOG.works + 5) - at(ground, last, LOG.works + 5))).toBeGreaterThan(1);
  });

  test('over a whole stride the ground, the other leg and the guide carry the weight', () => {
    const log = walkRun(even, 2.5e-4, 4);
    const [from, to] = strideRows(log, 2);
    const mean = (place: number) => column(log, place, from, to).reduce((sum, x) => sum + x, 0) / (to - from);
    const carried = mean(LOG.up) + mean(LOG.other) + mean(LOG.guide);
    expect(Math.abs(carried / even.course.weight - 1)).toBeLessThan(0.02);
    // the other leg is given six parts in a hundred more than half of it
    expect(Math.abs(mean(LOG.other) / even.course.weight - 0.53)).toBeLessThan(0.005);
  });

  test('the socket carries what is below it: hip force less what moves the thigh', () => {
    const log = walkRun(even, 5e-4, 2);
    // standing on it, the force along the thigh is near the ground’s; a leg in the air hangs by its own weight
    for (let i = 200; i < log.rows; i++) {
      const up = at(log, i, LOG.up);
      const along = at(log, i, LOG.socketAlong);
      if (up > 600) expect(along).toBeLessThan(-0.6 * up);
      if (up === 0) expect(Math.abs(along)).toBeLessThan(400);
    }
  });
});

describe('what cannot walk', () => {
  test('every field that a leg file lacks is named at once', () => {
    const { endStop: _, currentBandwidth: __, ...knee } = input.leg.joints.knee!;
    const { residualLimbLength: ___, ...wearer } = input.wearer;
    const { thighSensor: ____, ...leg } = input.leg;
    const lacks = {
      ...input,
      wearer,
      leg: { ...leg, foot: {}, joints: { ...leg.joints, knee } },
    } as StudyInput;
    const plan = walkPlan(lacks, { speed: 1.1 });
    const told = 'openBecause' in plan ? plan.openBecause : '';
    for (const word of ['endStop', 'currentBandwidth', 'residualLimbLength', 'heelStiffness', 'thighSensor'])
      expect(told).toContain(word);
  });

  test('a speed that no stride is known for', () => {
    const plan = walkPlan(input, { speed: 0.5 });
    expect('openBecause' in plan && plan.openBecause).toContain('outside the 0.842–1.974 m/s');
  });

  test('a controller that answers with no number ends the walk, and says when', () => {
    const broken = {
      ...even,
      controller: () => {
        const own = even.controller();
        let count = 0;
        return {
          ...own,
          tick: (measured: Float64Array, command: Float64Array) => {
            own.tick(measured, command);
            if (++count > 300) command[0] = Number.NaN;
          },
        };
      },
    };
    const log = walkRun(broken, 5e-4, 3);
    expect(log.fell?.why).toBe('an angle or a command is no number');
    expect(log.fell?.time).toBeCloseTo(0.3, 6);
    expect(log.rows).toBeGreaterThan(290);
  });

  test('a leg without torque falls, and what happened is kept', () => {
    const limp = {
      ...even,
      controller: () => ({
        begin: () => {},
        tick: (_: Float64Array, command: Float64Array) => command.fill(0),
      }),
    };
    const log = walkRun(limp as unknown as WalkSetup, 2.5e-4, 6);
    expect(log.fell?.why).toMatch(/knee gave way|hip sank/);
    expect(log.rows).toBeGreaterThan(100);
  });
});
