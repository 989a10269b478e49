import { yieldSpeed } from '../drive/unpowered-brake.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { legPackOpen, type TaskPackOpen } from './leg-pack-open.ts';
import type { Metric } from './metric.ts';
import { COLLAPSE } from './metric-cautions.ts';
import { DEMAND, MOTOR, TORQUE_CURVE } from './metric-inputs.ts';
import type { MetricFunction, MetricValue } from './metric-value.ts';
import { landing, largestStanceLoad, phasesOf, swingMoments } from './power-lost.ts';

const REHEARSE =
  'A prediction at unchanged thigh and hip motion: what a wearer does when the leg lets go is not in it. Rehearse every loss of power on a tethered bench, then in an overhead harness, under the ethics board and a licensed prosthetist.';
const BUS =
  'Without losses of the electronics, on a bus at its nominal voltage: a full pack starts higher. What the electronics do once they see the pack open is not in it; measure it on the bench before anybody wears the leg.';

const SHORT = [
  'lossOfPower.resistance',
  'motor.resistance',
  'motor.fluxLinkage',
  'motor.polePairs',
  'motor.inductanceD',
  'motor.inductanceQ',
];
const BUS_INPUTS = [
  'leg.busVoltage',
  'leg.bus.capacitance',
  'leg.bus.brakeResistor.resistance',
  'leg.bus.brakeResistor.threshold',
];

/** What both joints return to the bus depends on. */
const RETURNED = [...MOTOR, ...TORQUE_CURVE, 'motor.resistance', ...DEMAND];

const notJudged = (titles: readonly string[], why: string): string =>
  titles.length === 0 ? '' : `; not judged, ${why}: ${titles.join('; ')}`;

const none = (only: string | undefined, what: string): MetricValue => ({
  openBecause: only === undefined ? `no task has ${what}` : `task ${only} does not have ${what}`,
});

/** The fastest of the tasks, or the one that is named. */
const stanceYield: MetricFunction = (input, design, joint: DrivenJoint, only) => {
  const phases = phasesOf(input, joint);
  if ('openBecause' in phases) return phases;
  const { drive, short } = phases;
  let worst: { load: number; at: string; task: string } | undefined;
  const left: string[] = [];
  for (const [id, demand] of Object.entries(design.demands)) {
    if (only !== undefined && id !== only) continue;
    const { title } = demand.task;
    const found = largestStanceLoad(drive, demand, joint);
    if (found === undefined) left.push(title);
    else if (worst === undefined || found.load > worst.load)
      worst = {
        load: found.load,
        task: id,
        at: `${title}, ${(found.index / 2).toFixed(1)} %, under ${found.load.toPrecision(3)} N·m`,
      };
  }
  if (worst === undefined) return none(only, `a ${joint} curve with moments in stance`);
  const value = yieldSpeed(drive, short, Math.max(0, worst.load));
  const runs = value === Number.POSITIVE_INFINITY ? ', beyond what the short brakes at any speed' : '';
  return { value, task: worst.task, at: `${worst.at}${runs}${notJudged(left, 'no moment in stance')}` };
};

/** The most bent landing of the tasks, or of the one that is named: power lost at toe-off, or where the knee is bent most. */
const flexionLeft: MetricFunction = (input, design, _, only) => {
  const phases = phasesOf(input, 'knee');
  if ('openBecause' in phases) return phases;
  const { drive, short } = phases;
  let worst: { value: number; at: string; task: string } | undefined;
  const left: string[] = [];
  for (const [id, demand] of Object.entries(design.demands)) {
    if (only !== undefined && id !== only) continue;
    const { title } = demand.task;
    const tried = demand.kind === 'stride' ? swingMoments(demand) : [];
    for (const index of tried) {
      const down = demand.kind === 'stride' ? landing(input, demand, drive, short, index) : undefined;
      if (down === undefined || Number.isNaN(down.flexionLeft)) {
        left.push(title);
        break;
      }
      if (worst === undefined || down.flexionLeft > worst.value)
        worst = {
          value: down.flexionLeft,
          task: id,
          at: `${title}, power lost at ${(index / 2).toFixed(1)} % of the stride, thigh moving on as in it`,
        };
    }
    if (tried.length === 0) left.push(title);
  }
  if (worst === undefined) return none(only, 'a swing with knee, ankle and thigh motion');
  return { ...worst, at: `${worst.at}${notJudged(left, 'no thigh or knee motion')}` };
};

const ofBus =
  (
    of: (task: TaskPackOpen) => number | undefined,
    missing: string,
    tell: (task: TaskPackOpen) => string,
  ): MetricFunction =>
  (input, design, _, only) => {
    const open = legPackOpen(input, design);
    if ('openBecause' in open) return open;
    const named = only === undefined ? undefined : design.demands[only]?.task.title;
    const beyond = open.beyondReach.find((title) => named === undefined || title === named);
    if (beyond !== undefined)
      return {
        openBecause: `${beyond}: no current gives the torque it asks, so what it returns is not known`,
      };
    const tasks = open.tasks.filter(({ id }) => only === undefined || id === only);
    if (tasks.length === 0) return none(only, 'moments of every driven joint');
    const worst = tasks.reduce((a, b) => ((of(b) ?? 0) > (of(a) ?? 0) ? b : a));
    const value = of(worst);
    if (value === undefined) return { openBecause: missing };
    return {
      value,
      task: worst.id,
      at: `${worst.title}, ${tell(worst)}${only === undefined ? notJudged(open.leftOut, 'no curve with moments') : ''}`,
    };
  };

/** What is left of the leg when power is lost. */
export const powerLossMetrics: Readonly<Record<string, Metric>> = {
  unpoweredYieldSpeed: {
    title: 'Yields in stance, power lost',
    kind: 'angular velocity',
    unit: 'rad/s',
    formula:
      'least θ̇ with N·[τ_c + b·N·θ̇ + τ_short(N·θ̇)]/η_b + τ_c,out + b_out·θ̇ = max −τ in stance; ∞ beyond its peak',
    chapter: 'drive.md#loss-of-power',
    reads: [...SHORT, ...MOTOR, 'motor.breakawayDrag', 'transmission.outputBreakaway', ...DEMAND],
    cautions: [COLLAPSE, REHEARSE],
    value: stanceYield,
  },
  unpoweredFlexionLeft: {
    title: 'Knee flexion left at contact, power lost in swing',
    kind: 'angle',
    unit: 'rad',
    only: 'knee',
    formula:
      'M·θ̈ = τ_limb − sgn θ̇·τ_B(θ̇, θ̈) from the loss of power to initial contact, less the stride’s own flexion there',
    chapter: 'drive.md#unpowered-swing',
    reads: [...SHORT, ...MOTOR, 'motor.breakawayDrag', 'transmission.outputBreakaway', ...DEMAND],
    cautions: [REHEARSE],
    value: flexionLeft,
  },
  packOpenBusVoltage: {
    title: 'Bus when the pack opens while braking',
    kind: 'voltage',
    unit: 'V',
    only: 'leg',
    formula:
      'd(½·C·V²)/dt = −P − V²/R·[V > V_t], P = Σ τ_m·ω + 1.5·R_ph·i²; without resistor √(V_0² + 2·E/C)',
    chapter: 'drive.md#pack-opening',
    reads: [...BUS_INPUTS, ...RETURNED],
    cautions: [BUS],
    value: ofBus(
      ({ bus }) => bus.voltage,
      '',
      ({ bus, opensAt }) =>
        `opening at ${opensAt.toFixed(1)} %, ${bus.energy.toPrecision(3)} J returned; without a resistor ${bus.withoutResistor.toPrecision(3)} V`,
    ),
  },
  brakeResistorLoad: {
    title: 'Returned power ÷ what the brake resistor takes',
    kind: 'pure number',
    unit: '1',
    only: 'leg',
    formula: 'max −P·R/V_t²',
    chapter: 'drive.md#pack-opening',
    reads: [...BUS_INPUTS.slice(2), ...RETURNED],
    cautions: [BUS],
    value: ofBus(
      ({ resistorLoad }) => resistorLoad,
      'the leg file has no brake resistor: add `brakeResistor` under `bus`',
      ({ bus, resistorDuty }) =>
        `${bus.peakReturn.toPrecision(3)} W at most, ${bus.meanReturn.toPrecision(3)} W over the stride (on ${(100 * (resistorDuty ?? 0)).toPrecision(2)} % of the time with no pack to take it)`,
    ),
  },
};
