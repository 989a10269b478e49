import type { Metric } from './metric.ts';
import { COLLAPSE, STRENGTH } from './metric-cautions.ts';
import { CURRENT_LIMIT, DEMAND, MOTOR, TORQUE_CURVE } from './metric-inputs.ts';
import type { MetricFunction } from './metric-value.ts';
import { ratioCase } from './ratio-scan.ts';
import { type SmallestRatio, smallestRatio } from './smallest-ratio.ts';

const READS = [
  ...MOTOR,
  ...CURRENT_LIMIT,
  ...TORQUE_CURVE,
  'transmission.torqueLimit',
  'leg.busVoltage',
  'leg.bus.resistance',
  'voltageMargin',
  'modulation',
  'motor.inductanceQ',
  'motor.resistance',
  ...DEMAND,
];
const CAUTIONS = [
  'Heat is not in it: a ratio that carries every task may still be too hot for a day; see the winding.',
  'The gears of the leg file at every ratio: others have other losses, inertias and friction.',
  STRENGTH,
  COLLAPSE,
];

const times = (x: number): string => `${x.toPrecision(3)}×`;

/** What decides, in words. */
const decides = ({ ratio, tightest, torqueFrom }: SmallestRatio): string => {
  const { limit, margin, at } = tightest;
  if (ratio < Number.POSITIVE_INFINITY) return `${limit}, ${at}`;
  return torqueFrom === Number.POSITIVE_INFINITY
    ? `no ratio gives the torque: ${at}`
    : `no ratio: torque would do from ${torqueFrom.toPrecision(3)}:1, where ${limit} is ${times(margin)} its need, ${at}`;
};

const ofSmallest =
  (value: (smallest: number, own: number) => number): MetricFunction =>
  (input, design, joint) => {
    const drive = input.leg.joints[joint];
    if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
    const found = smallestRatio(ratioCase(input, design, joint));
    if (found === undefined) return { openBecause: `no task asks anything of the ${joint}` };
    return { value: value(found.ratio, drive.transmission.ratio), at: decides(found) };
  };

/** How small the ratio may be, and how much of it the leg has in hand. */
export const ratioMetrics: Readonly<Record<string, Metric>> = {
  smallestFeasibleRatio: {
    title: 'Smallest ratio that carries every task',
    kind: 'pure number',
    unit: '1',
    formula: 'least N with torque, speed, gears and asked-for back-driving at limit ÷ need ≥ 1 in every task',
    chapter: 'drive.md#ratio-scan',
    reads: READS.filter((path) => path !== 'transmission.ratio'),
    cautions: CAUTIONS,
    value: ofSmallest((smallest) => smallest),
  },
  ratioHeadroom: {
    title: 'Ratio ÷ the smallest that carries every task',
    kind: 'pure number',
    unit: '1',
    formula: 'N/N_min',
    chapter: 'drive.md#ratio-scan',
    reads: READS,
    cautions: CAUTIONS,
    value: ofSmallest((smallest, own) => own / smallest),
  },
};
