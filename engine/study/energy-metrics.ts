import { packEnergy, stridesPerCharge } from '../drive/charge-range.ts';
import type { Demand } from '../gait/demand-result.ts';
import type { DesignResult } from './design.ts';
import { flowOn, type NoEnergy, type TaskEnergy, taskEnergy, taskMargin } from './energy.ts';
import type { Metric } from './metric.ts';
import { STRENGTH } from './metric-cautions.ts';
import { BUS, CURRENT_LIMIT, DEMAND, MAGNETS, MOTOR, TORQUE_CURVE } from './metric-inputs.ts';
import type { MetricFunction, MetricValue } from './metric-value.ts';
import type { StudyInput } from './study-input.ts';

const POWER =
  'Cold motors and the nominal voltage: hot windings cost more, an empty or cold pack gives less. Logic, sensors and radio are in it only as far as `quiescentPower` names them.';
const CELLS =
  'The cell maker’s limits go before the leg file’s; cold or full cells take less, down to nothing. What the joint does to the wearer must not change with the charge of the pack.';

type Found = { readonly value: number; readonly at: string };

/** The worst over the tasks that can be judged, or the one named; the others are named beside it. What asks for more than there is leaves no number for the whole. */
function overTasks(
  design: DesignResult,
  only: string | undefined,
  worse: 'larger' | 'smaller',
  of: (id: string, demand: Demand) => Found | NoEnergy,
): MetricValue {
  let found: (Found & { readonly task: string }) | undefined;
  let reason: string | undefined;
  const notJudged: string[] = [];
  for (const [id, demand] of Object.entries(design.demands)) {
    if (only !== undefined && id !== only) continue;
    const here = of(id, demand);
    if ('openBecause' in here) {
      if (here.beyond) return { openBecause: here.openBecause };
      reason ??= here.openBecause;
      notJudged.push(demand.task.title);
    } else if (
      found === undefined ||
      (worse === 'larger' ? here.value > found.value : here.value < found.value)
    )
      found = { ...here, task: id };
  }
  if (found === undefined) return { openBecause: reason ?? 'there is no task' };
  if (notJudged.length === 0) return found;
  return { ...found, at: `${found.at}; not judged: ${notJudged.join('; ')}` };
}

const place = ({ task, ...demand }: Demand, index: number): string =>
  'percent' in demand ? `${task.title}, ${demand.percent[index]?.toFixed(1)} %` : task.title;

/** A figure of the leg's energy over the tasks. Holds count where `holds` says so. */
const ofEnergy =
  (
    worse: 'larger' | 'smaller',
    of: (task: TaskEnergy, demand: Demand, input: StudyInput, design: DesignResult) => Found | NoEnergy,
    holds: 'strides only' | 'holds too' = 'strides only',
  ): MetricFunction =>
  (input, design, _, only) =>
    overTasks(design, only, worse, (id, demand) => {
      if (holds === 'strides only' && demand.kind === 'standing')
        return { openBecause: `task ${id} is no stride` };
      const task = taskEnergy(input, design, id, 'cold');
      return 'openBecause' in task ? task : of(task, demand, input, design);
    });

/** Largest value of a curve and where it stands. */
function peak(curve: Float64Array): { value: number; index: number } {
  let index = 0;
  for (let i = 1; i < curve.length; i++) if (curve[i] > curve[index]) index = i;
  return { value: curve[index], index };
}

const negated = (curve: Float64Array): Float64Array => curve.map((x) => -x);

const READS = [...BUS, ...TORQUE_CURVE, ...MOTOR, ...DEMAND];

/** Energy, bus and envelope of the leg on its pack. */
export const energyMetrics: Readonly<Record<string, Metric>> = {
  energyPerStride: {
    title: 'Energy of a stride',
    kind: 'energy',
    unit: 'J',
    formula: '∫E·I dt: mechanical + copper + drag + mesh + friction + bridge + quiescent + R_b·I² + burnt',
    chapter: 'drive.md#energy',
    only: 'leg',
    reads: READS,
    cautions: [POWER],
    value: ofEnergy('larger', ({ energy }, { task }, input, design) => {
      const hot = taskEnergy(input, design, task.id, 'hot');
      const warm = 'openBecause' in hot ? '' : `; ${hot.energy.cells.toPrecision(3)} J with hot windings`;
      return { value: energy.cells, at: `${task.title}${warm}` };
    }),
  },
  rangePerCharge: {
    title: 'Range on one charge',
    kind: 'length',
    unit: 'm',
    formula: 'u·C·E/E_stride·v·T',
    chapter: 'drive.md#energy',
    only: 'leg',
    reads: [...READS, 'leg.bus.capacity', 'leg.bus.usableShare'],
    cautions: [POWER],
    value: ofEnergy('smaller', ({ energy }, demand, { leg }) => {
      const { capacity, usableShare } = leg.bus ?? {};
      for (const [name, value] of Object.entries({ capacity, usableShare }))
        if (value === undefined)
          return {
            openBecause: `the leg file has no \`bus.${name}\`, so what one charge holds is not known: add it`,
          };
      const speed = demand.kind === 'stride' ? demand.speed : Number.NaN;
      if (!(speed > 0)) return { openBecause: `task ${demand.task.id} does not say how fast it walks` };
      const strides = stridesPerCharge(packEnergy(capacity!, leg.busVoltage), usableShare!, energy.cells);
      const told = strides === Number.POSITIVE_INFINITY ? '' : `, ${strides.toFixed(0)} strides of one leg`;
      return { value: strides * speed * energy.time, at: `${demand.task.title}${told}` };
    }),
  },
  minimumBusVoltage: {
    title: 'Lowest bus voltage',
    kind: 'voltage',
    unit: 'V',
    formula: 'min (E′ + √(E′² − 4·R_b·P))/2, P of both joints together',
    chapter: 'drive.md#bus',
    only: 'leg',
    reads: READS,
    cautions: [POWER],
    value: ofEnergy(
      'smaller',
      ({ energy }, demand) => {
        const { value, index } = peak(negated(energy.flow.voltage));
        return { value: -value, at: place(demand, index) };
      },
      'holds too',
    ),
  },
  peakBusCurrent: {
    title: 'Peak current out of the pack',
    kind: 'current',
    unit: 'A',
    formula: 'max (E − V)/R_b',
    chapter: 'drive.md#bus',
    only: 'leg',
    reads: READS,
    cautions: [POWER, CELLS],
    value: ofEnergy(
      'larger',
      ({ energy }, demand, input, design) => {
        const { value, index } = peak(energy.flow.current);
        const hot = taskEnergy(input, design, demand.task.id, 'hot');
        const warm =
          'openBecause' in hot
            ? ''
            : `; ${peak(hot.energy.flow.current).value.toPrecision(3)} A with hot windings`;
        return { value, at: `${place(demand, index)}${warm}` };
      },
      'holds too',
    ),
  },
  chargeCurrent: {
    title: 'Peak current into the pack',
    kind: 'current',
    unit: 'A',
    formula: 'max (V − E)/R_b while braking, with what is fitted and no charge limit',
    chapter: 'drive.md#where-the-excess-goes',
    only: 'leg',
    reads: READS,
    cautions: [CELLS],
    value: ofEnergy('larger', (task, demand) => {
      const { chargeLimit: _, ...unlimited } = task.known.supply;
      const { value, index } = peak(negated(flowOn(task, unlimited).current));
      return { value: Math.max(value, 0), at: value > 0 ? place(demand, index) : demand.task.title };
    }),
  },
  sharedEnergy: {
    title: 'Energy one joint gives the other',
    kind: 'energy',
    unit: 'J',
    formula: '∫min(Σ P⁺, Σ P⁻) dt on the common bus',
    chapter: 'drive.md#energy',
    only: 'leg',
    reads: READS,
    cautions: [POWER],
    value: ofEnergy('smaller', ({ energy, known }, { task }) => {
      const [first, second] = known.joints;
      if (second === undefined) return { openBecause: 'the leg drives one joint: there is none to give to' };
      const [there, back] = energy.given;
      return {
        value: there + back,
        at: `${task.title}, ${there.toPrecision(2)} J ${first!.joint} to ${second.joint}, ${back.toPrecision(2)} J back`,
      };
    }),
  },
  envelopeMargin: {
    title: 'Torque at that speed, limit ÷ need',
    kind: 'pure number',
    unit: '1',
    formula: 'min τ_m(i_max(ω, V(P)))/|τ_m|, hot, with what the other joint draws',
    chapter: 'drive.md#torque-against-speed',
    reads: [
      ...READS,
      ...CURRENT_LIMIT,
      MAGNETS,
      'motor.copperCoefficient',
      'motor.referenceTemperature',
      'thermal.windingLimit',
      'motor.inductanceQ',
      'modulation',
      'voltageMargin',
    ],
    cautions: [STRENGTH],
    value: (input, design, joint, only) =>
      overTasks(design, only, 'smaller', (id, demand) => {
        const margin = taskMargin(input, design, id, joint);
        if ('openBecause' in margin) return margin;
        const { torque, torqueIndex, outside } = margin;
        if (torque === Number.POSITIVE_INFINITY)
          return { openBecause: `task ${id} asks no torque of the ${joint}` };
        const share = outside === 0 ? '' : `; outside for ${(100 * outside).toFixed(1)} % of it`;
        return { value: torque, at: `${place(demand, torqueIndex)}${share}` };
      }),
  },
};
