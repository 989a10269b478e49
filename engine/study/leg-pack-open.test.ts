import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import type { StrideDemand } from '../gait/demand-result.ts';
import { evaluateDesign } from './design.ts';
import { legEnergy } from './energy-report.ts';
import { legPackOpen } from './leg-pack-open.ts';
import { metricCatalogue } from './metrics.ts';
import type { Leg, StudyInput } from './study-input.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const design = evaluateDesign(input);
const open = legPackOpen(input, design);
if ('openBecause' in open) throw new Error(open.openBecause);
const value = (metric: string, study: StudyInput) =>
  metricCatalogue[metric]!.value(study, evaluateDesign(study), 'knee', undefined);
const withBus = (bus: Leg['bus']): StudyInput => {
  const { bus: _, ...leg } = input.leg;
  return { ...input, leg: bus === undefined ? leg : { ...leg, bus } };
};

describe.each(open.tasks.map((task) => [task.id, task] as const))('%s', (id, task) => {
  /** Second route: shaft power from the load and the copper's from the printed resistance, summed at the samples. */
  const demand = design.demands[id] as StrideDemand;
  const power = Array.from(demand.percent, (_, i) =>
    (['knee', 'ankle'] as const).reduce((sum, joint) => {
      const load = design.loads[id]![joint]!;
      return sum + load.motorTorque[i]! * load.motorSpeed[i]! + 1.5 * 65.79e-3 * load.current[i]! ** 2;
    }, 0),
  );

  test('energy is the most that comes back in a row: largest sum over every first and last sample', () => {
    const h = demand.strideTime / 200;
    let most = 0;
    for (let a = 0; a < 200; a++) {
      let sum = 0;
      for (let k = 0; k < 200; k++) {
        const i = (a + k) % 200;
        sum -= (h * (power[i]! + power[i + 1]!)) / 2;
        most = Math.max(most, sum);
      }
    }
    // the parts of the intervals in which it turns are beyond the samples
    expect(task.bus.energy).toBeGreaterThanOrEqual(most - 1e-3 * most);
    expect(task.bus.energy / most - 1).toBeLessThan(0.02);
    expect(task.bus.withoutResistor).toBeCloseTo(Math.sqrt(44.4 ** 2 + (2 * task.bus.energy) / 4.7e-3), 9);
  });

  test('the resistor, 5.9 Ω at 52 V, is loaded as printed', () => {
    expect(task.resistorLoad).toBeCloseTo((-Math.min(...power) * 5.9) / 52 ** 2, 9);
    const mean = power.slice(0, 200).reduce((sum, p) => sum + Math.max(0, -p) / 200, 0);
    expect(task.resistorDuty).toBeCloseTo((mean * 5.9) / 52 ** 2, 9);
    // loaded less than it takes it holds the bus
    expect(task.bus.voltage).toBeLessThanOrEqual(task.resistorLoad! <= 1 ? 52 : 1e3);
  });
});

test('what one unbroken stretch of braking returns through a lossy, warm bridge is less than what is counted here', () => {
  const energy = legEnergy(input, design);
  if (!('tasks' in energy)) throw new Error('no energy');
  for (const { id, bus } of open.tasks) {
    const { burst } = energy.tasks.find((task) => task.id === id)!;
    expect(burst.energy).toBeLessThan(bus.energy);
  }
});

test('tasks without moments at every joint are named, the worst stands first', () => {
  expect(open.leftOut).toContain('Running 2.5 m/s, speeds only');
  expect(open.beyondReach).toEqual([]);
  const returned = open.tasks.map(({ bus }) => bus.energy);
  expect(returned[0]).toBe(Math.max(...returned));
  expect(open.resistorFor).toBeCloseTo(52 ** 2 / Math.max(...open.tasks.map(({ bus }) => bus.peakReturn)), 9);
});

describe('what is not known is told', () => {
  test('no bus, no capacitance, no resistor', () => {
    const reason = 'the leg file does not say what is on the bus: add `capacitance` under `bus`';
    expect(value('packOpenBusVoltage', withBus(undefined))).toEqual({ openBecause: reason });
    expect(value('packOpenBusVoltage', withBus({}))).toEqual({ openBecause: reason });
    const bare = withBus({ capacitance: 4.7e-3 });
    expect(value('brakeResistorLoad', bare)).toEqual({
      openBecause: 'the leg file has no brake resistor: add `brakeResistor` under `bus`',
    });
    expect(value('packOpenBusVoltage', bare)).toMatchObject({ value: open.tasks[0]!.bus.withoutResistor });
    const noVoltage = { ...input, leg: { ...input.leg, busVoltage: Number.NaN } };
    expect(value('packOpenBusVoltage', noVoltage)).toEqual({
      openBecause: 'the leg file has no bus: add `bus` with its `nominalVoltage`',
    });
  });

  test('a task beyond saturation is not passed over', () => {
    const { ankle } = input.leg.joints;
    const weak: StudyInput = {
      ...input,
      leg: {
        ...input.leg,
        joints: {
          ...input.leg.joints,
          ankle: { ...ankle!, motor: { ...ankle!.motor, saturationCurrent: 40 } },
        },
      },
    };
    expect(value('packOpenBusVoltage', weak)).toEqual({
      openBecause: expect.stringMatching(
        /: no current gives the torque it asks, so what it returns is not known$/,
      ),
    });
  });
});
