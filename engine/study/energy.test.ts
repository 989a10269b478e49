// Energy of the demo leg on its bus, against the law of its balance, published strides and hand calculation.
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { near } from '../drive/test-motor.ts';
import { motorConstant } from '../drive/torque-constant.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import { evaluateDesign } from './design.ts';
import { flowOn, type TaskEnergy, taskEnergy, taskMargin } from './energy.ts';
import { type LegEnergy, legEnergy } from './energy-report.ts';
import { evaluateStudy } from './evaluate.ts';
import { envelopeConditions, legSupply } from './leg-supply.ts';
import { metricCatalogue } from './metrics.ts';
import type { Leg, StudyInput } from './study-input.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const design = evaluateDesign(input);
const known = (id: string, warmth: 'cold' | 'hot' = 'cold', of: StudyInput = input): TaskEnergy => {
  const task = taskEnergy(of, of === input ? design : evaluateDesign(of), id, warmth);
  if ('openBecause' in task) throw new Error(task.openBecause);
  return task;
};
const withLeg = (change: (leg: Leg) => Leg): StudyInput => ({ ...input, leg: change(input.leg) });
const withBus = (bus: Leg['bus']): StudyInput =>
  withLeg((leg) => {
    const { bus: _, ...rest } = leg;
    return bus === undefined ? rest : { ...rest, bus };
  });
const { bus: BUS } = input.leg as Required<Leg>;

describe('balance', () => {
  const judged = Object.keys(design.demands).filter(
    (id) => !('openBecause' in taskEnergy(input, design, id, 'cold')),
  );

  test.each(['cold', 'hot'] as const)(
    'what the cells give is mechanical work and losses, in every demo task, %s',
    (warmth) => {
      expect(judged.length).toBeGreaterThan(5);
      for (const id of judged) {
        const { energy } = known(id, warmth);
        // terms added up here, the cells as E·∫I from the bus
        const of = energy.joints.reduce(
          (sum, j) =>
            sum +
            j.mechanical +
            j.kinetic +
            j.spring +
            j.copper +
            j.drag +
            j.mesh +
            j.outputFriction +
            j.conduction +
            j.switching +
            j.quiescent,
          energy.packResistance + energy.brakeResistor + energy.windings,
        );
        expect(Math.abs(energy.cells - of)).toBeLessThan(1e-9 * (energy.drawn + energy.returned));
        expect(Math.abs(energy.residual)).toBeLessThan(1e-9 * (energy.drawn + energy.returned));
      }
    },
  );

  test('mechanical work is the demand’s own: its positive and negative parts, joint by joint', () => {
    for (const id of judged) {
      const demand = design.demands[id]!;
      if (demand.kind !== 'stride') continue;
      const { energy } = known(id);
      (['knee', 'ankle'] as const).forEach((joint, k) => {
        const { positive, negative } = demand.joints[joint]!.work;
        const gross = positive - negative;
        // the demand integrates where the power changes sign, this one by trapezoid
        expect(Math.abs(energy.joints[k]!.mechanical - (positive + negative))).toBeLessThan(0.02 * gross);
      });
    }
  });
});

test('a stride of natural walking by a second route: power at the joints, summed and pushed through the pack by iteration', () => {
  const { energy, parts } = known('walk-natural');
  const demand = design.demands['walk-natural'] as StrideDemand;
  let cells = 0;
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = 0; i <= 200; i++) {
    let voltage = 44.4;
    let watts = 0;
    for (let round = 0; round < 60; round++) {
      watts = 0;
      (['knee', 'ankle'] as const).forEach((joint) => {
        const { motor, transmission } = input.leg.joints[joint]!;
        const load = design.loads['walk-natural']![joint]!;
        const shaft = transmission.ratio * demand.joints[joint]!.velocity[i]! * load.motorTorque[i]!;
        const current = Math.abs(load.current[i]!);
        const bridge =
          1.5 * 3e-3 * current ** 2 + 3 * 20e3 * 0.5 * voltage * (2 / Math.PI) * current * 60e-9 + 2;
        watts += shaft + 1.5 * motor.resistance * current ** 2 + bridge;
      });
      voltage = 44.4 - (0.12 * watts) / voltage;
    }
    lowest = Math.min(lowest, voltage);
    cells += ((i === 0 || i === 200 ? 0.5 : 1) / 200) * demand.strideTime * ((44.4 * watts) / voltage);
  }
  expect(parts.length).toBe(2);
  near(energy.cells, cells, 1e-9);
  near(Math.min(...energy.flow.voltage), lowest, 1e-9);
});

test('regeneration on published strides: ankle dorsiflexion costs more copper than it takes, swing braking at the knee hardly any', () => {
  // 85 kg, natural walking, N·K_m = 9 N·m/√W, the mean of the source without sizing: a motor without friction or inertia
  const natural = input.tasks.find(({ id }) => id === 'walk-natural')!;
  const bare = withLeg((leg) => ({
    ...leg,
    joints: Object.fromEntries(
      Object.entries(leg.joints).map(([joint, drive]) => {
        const { motor, transmission } = drive!;
        const kt = 1.5 * motor.polePairs * motor.fluxLinkage;
        return [
          joint,
          {
            ...drive,
            motor: {
              ...motor,
              // R that makes 22·K_t/√(1.5·R) = 9
              resistance: (22 * kt) ** 2 / (1.5 * 81),
              rotorInertia: 0,
              coulombDrag: 0,
              viscousDrag: 0,
            },
            transmission: {
              ...transmission,
              drivingEfficiency: 1,
              backDrivenEfficiency: 1,
              inputInertia: 0,
              outputCoulomb: 0,
            },
          },
        ];
      }),
    ),
  }));
  const of: StudyInput = {
    ...bare,
    wearer: { ...input.wearer, mass: 85 },
    tasks: [{ ...natural, coverage: 0 } as typeof natural],
  };
  const made = evaluateDesign(of);
  const demand = made.demands['walk-natural'] as StrideDemand;
  const task = taskEnergy(of, made, 'walk-natural', 'cold') as TaskEnergy;
  const motor = of.leg.joints.ankle!.motor;
  near(22 * motorConstant(1.5 * motor.polePairs * motor.fluxLinkage, motor.resistance), 9, 1e-12);
  const [knee, ankle] = task.energy.joints;
  // copper goes with the square of the sizing factor, what is taken with its first power. Where dorsiflexion ends the ankle holds its
  // largest moment without moving: 1 % of the stride more or less is a tenth of the ratio, hence the width
  const ratio = ankle!.braking.copper / ankle!.braking.taken / demand.joints.ankle!.momentScale;
  expect(ratio).toBeGreaterThan(1.4);
  expect(ratio).toBeLessThan(1.7);
  // the knee from toe-off on
  const { velocity, moment } = demand.joints.knee!;
  let [taken, copper] = [0, 0];
  for (let i = Math.ceil(200 * demand.stance); i < 200; i++)
    if (moment[i]! * velocity[i]! < 0) {
      taken -= moment[i]! * velocity[i]!;
      copper += (moment[i]! / 9) ** 2;
    }
  expect(copper / taken).toBeLessThan(0.1);
  expect(knee!.braking.copper / knee!.braking.taken).toBeLessThan(ratio / 4);
});

describe('where the excess goes, by hand', () => {
  test('stairs down push more into the pack than its limit; the rest of it is burnt', () => {
    const task = known('stair-down');
    const { chargeLimit: _, ...unlimited } = task.known.supply;
    const free = Math.min(...flowOn(task, unlimited).current);
    expect(free).toBeLessThan(-5);
    expect(Math.min(...task.energy.flow.current)).toBe(-5);
    expect(Math.max(...task.energy.flow.voltage)).toBeCloseTo(44.4 + 5 * 0.12, 12);
    expect(task.energy.windings).toBeGreaterThan(0);
    // the resistor switches on at 52 V, which the charge limit never lets the bus reach
    expect(task.energy.brakeResistor).toBe(0);
  });

  test('a resistor that switches on below 45.0 V takes what the windings took', () => {
    const low = withBus({ ...BUS, brakeResistor: { resistance: 5.9, threshold: 44.9 } });
    const { energy } = known('stair-down', 'cold', low);
    expect(energy.windings).toBe(0);
    expect(energy.brakeResistor).toBeGreaterThan(0);
    expect(Math.max(...energy.flow.voltage)).toBeCloseTo(44.9, 12);
  });

  test('a full pack takes nothing: what came back is burnt, and not one watt is braked less', () => {
    const report = legEnergy(input, design) as LegEnergy;
    const stairs = report.tasks.find(({ id }) => id === 'stair-down')!;
    const full = known('stair-down', 'cold', withBus({ ...BUS, chargeLimit: 0 }));
    expect(full.energy.returned).toBe(0);
    near(full.energy.windings, stairs.full.energy, 1e-12);
    expect(full.energy.joints.map((j) => j.mechanical)).toEqual(
      stairs.energy.joints.map((j) => j.mechanical),
    );
    expect(report.bus.resistor!.holdsLimit).toBe(false);
    near(report.bus.resistor!.currentAtThreshold, (52 - 44.4) / 0.12, 1e-12);
  });
});

test('standing is a hold: copper of the ankle’s moment, two idle bridges, nothing moves', () => {
  const { energy } = known('stand');
  const demand = design.demands.stand as { readonly ankleMoment: number };
  const current = Math.abs(demand.ankleMoment) / (22 * 0.94) / (1.5 * 20 * 4.949e-3);
  near(energy.joints[1]!.copper, 7200 * 1.5 * 65.79e-3 * current ** 2, 1e-9);
  expect(energy.joints[0]!.copper).toBe(0);
  near(energy.joints[0]!.quiescent, 2 * 7200, 1e-12);
});

test('hot windings cost more, and leave less torque', () => {
  expect(known('walk-natural', 'hot').energy.cells).toBeGreaterThan(1.2 * known('walk-natural').energy.cells);
  const hot = taskMargin(input, design, 'walk-fast', 'ankle');
  const load = design.loads['walk-fast']!.ankle!;
  if ('openBecause' in hot) throw new Error(hot.openBecause);
  // below the base speed the current limit binds, and torque goes with the flux alone: 1 − 0.11 %/K · 100 K
  near(hot.torque, load.torqueMargin * (1 - 0.0011 * 100), 1e-9);
});

describe('what the leg file does not say', () => {
  const bridge = { ...input.leg.joints.knee!.inverter };
  const { onResistance: _, ...less } = bridge;
  const { resistance: _r, ...stiff } = BUS;
  const { chargeLimit: _c, ...unlimited } = BUS;
  const { capacity: _k, ...unsized } = BUS;
  const at = [
    [0, 1],
    [15, 5],
  ].map(([celsius, current]) => ({ temperature: 273.15 + celsius!, current: current! }));

  test.each([
    ['no bus at all', withBus(undefined), '`bus.resistance`'],
    ['no resistance', withBus(stiff), '`bus.resistance`'],
    ['no charge limit', withBus(unlimited), '`bus.chargeLimit`'],
    [
      'a bridge not known whole',
      withLeg((leg) => ({
        ...leg,
        joints: { ...leg.joints, knee: { ...leg.joints.knee!, inverter: less } },
      })),
      '`onResistance` in `electronics` of the knee',
    ],
    [
      'a charge limit by temperature and no air',
      {
        ...withBus({ ...BUS, chargeLimit: at }),
        leg: { ...withBus({ ...BUS, chargeLimit: at }).leg, ambientTemperature: Number.NaN },
      },
      '`ambientTemperature`',
    ],
    [
      'air colder than its list',
      { ...input, leg: { ...input.leg, bus: { ...BUS, chargeLimit: at }, ambientTemperature: 263.15 } },
      'as cold as',
    ],
  ])('%s: every figure is open and names the field', (_name, of, field) => {
    const result = evaluateStudy(of);
    for (const id of ['stride-energy', 'range', 'bus-voltage', 'pack-charge', 'ankle-envelope']) {
      const row = result.ledger.find((r) => r.requirement.id === id)!;
      expect(row.state).toBe('open');
      expect(row.openBecause).toContain(field);
    }
    // the drawn envelope then has a bus that does not sag
    expect(envelopeConditions(of.leg, 'ankle').supply.resistance).toBe(0);
  });

  test('a limit by temperature holds from its entry on', () => {
    const supply = legSupply({ ...input.leg, bus: { ...BUS, chargeLimit: at }, ambientTemperature: 283.15 });
    if ('openBecause' in supply) throw new Error(supply.openBecause);
    expect(supply.supply.chargeLimit).toBe(1);
  });

  test('capacity: only the range is open', () => {
    const result = evaluateStudy(withBus(unsized));
    const states = (id: string) => result.ledger.find((r) => r.requirement.id === id)!;
    expect(states('range').openBecause).toContain('`bus.capacity`');
    expect(states('stride-energy').predicted).toBeGreaterThan(0);
  });

  test('a pack that cannot give the power leaves no number for the whole leg', () => {
    const weak = withBus({ ...BUS, resistance: 1.2 });
    const row = evaluateStudy(weak).ledger.find((r) => r.requirement.id === 'bus-voltage')!;
    expect(row.predicted).toBeNull();
    expect(row.openBecause).toMatch(/ask for up to \d+ W, more than the pack can give/);
  });
});

test('a line of the whole leg reads the inputs of both joints', () => {
  const row = evaluateStudy(input).ledger.find((r) => r.requirement.id === 'stride-energy')!;
  const paths = row.inputs.map(({ path }) => path);
  for (const path of ['joints.knee.inverter.onResistance', 'joints.ankle.motor.resistance', 'bus.resistance'])
    expect(paths).toContain(path);
  expect(new Set(paths).size).toBe(paths.length);
  expect(row.inputs.every(({ value, unit }) => typeof value === 'string' || unit !== '')).toBe(true);
});

test('range by hand: usable charge over energy of a stride, times its length', () => {
  const demand = design.demands['walk-natural'] as StrideDemand;
  const { energy } = known('walk-natural');
  const range = metricCatalogue.rangePerCharge!.value(input, design, 'knee', 'walk-natural');
  if ('openBecause' in range) throw new Error(range.openBecause);
  near(range.value, ((0.85 * 3 * 3600 * 44.4) / energy.cells) * demand.speed * demand.strideTime, 1e-12);
});
