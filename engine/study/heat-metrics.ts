import type { JointHeat } from './heat.ts';
import { jointHeat } from './heat.ts';
import type { Metric } from './metric.ts';
import { CAPACITIES, CURRENT_LIMIT, DEMAND, MAGNETS, MOTOR, THERMAL, TORQUE_CURVE } from './metric-inputs.ts';
import type { MetricFunction, MetricValue } from './metric-value.ts';

const HEAT =
  'Two nodes and typed resistances: prove winding and surface temperature on a tethered bench, in the warmest air and with the cover and clothing of use, before anybody wears the leg. What may be touched, and for how long, is said by the standards that apply, local codes, the ethics board and licensed practice.';

const without = ({ leftOut }: JointHeat): string =>
  leftOut.length === 0 ? '' : `; without curve and left out: ${leftOut.join(', ')}`;

const BEYOND =
  'no current gives the torque it asks, with cold magnets or with magnets as hot as the winding may be, so its heat is not known';

/** A figure of a joint's heat, or the reason why there is none. */
const ofHeat =
  (of: (heat: JointHeat) => MetricValue): MetricFunction =>
  (input, design, joint) => {
    const heat = jointHeat(input, design, joint);
    return 'openBecause' in heat ? heat : of(heat);
  };

/** The first task of the schedule whose loss is not known. */
const unknownTask = (heat: JointHeat): string | undefined =>
  heat.tasks.find(({ duration, load }) => duration > 0 && Number.isNaN(load.copper * load.fluxExponent))
    ?.title;

/** Hottest winding or housing over the schedule, and in which task. +∞ where the copper would melt. */
const hottest = (node: 'winding' | 'housing'): MetricFunction =>
  ofHeat((heat) => {
    const { course, order, tasks } = heat;
    if (order.length === 0)
      return { openBecause: `no task of the schedule has a curve with moments${without(heat)}` };
    const unknown = unknownTask(heat);
    if (unknown !== undefined) return { openBecause: `${unknown}: ${BEYOND}` };
    const index = node === 'winding' ? course.hottestWinding : course.hottestHousing;
    const id = order[course.block[index]];
    const title = tasks.find((task) => task.id === id)?.title;
    const past =
      course.pastLimit === Number.POSITIVE_INFINITY
        ? ''
        : `; winding past its limit from ${(course.pastLimit / 3600).toFixed(2)} h on`;
    const when = `after ${(course.time[index] / 3600).toFixed(2)} h of the schedule, in ${title}${past}${without(heat)}`;
    return course.melts
      ? { value: Number.POSITIVE_INFINITY, at: `runaway ${when}`, task: id }
      : { value: course[node][index], at: when, task: id };
  });

/** Hottest phase of the standing tasks, held for ever, or of the one that is named. +∞ on runaway. */
const standingWinding: MetricFunction = (input, design, joint, only) =>
  ofHeat((heat) => {
    const held = heat.tasks
      .filter(({ id, load }) => load.rotor === 'stalled' && (only === undefined || id === only))
      .sort((a, b) => b.steady.winding - a.steady.winding);
    if (held.length === 0)
      return { openBecause: only === undefined ? 'no task stands' : `task ${only} is not standing` };
    const unknown = held.find(({ load }) => Number.isNaN(load.copper * load.fluxExponent));
    if (unknown !== undefined) return { openBecause: `${unknown.title}: ${BEYOND}` };
    const [{ steady, title, id }] = held as [JointHeat['tasks'][number]];
    const away = steady.winding === Number.POSITIVE_INFINITY ? ', runaway: no steady state' : '';
    return {
      value: steady.winding,
      at: `${title}, held for ever at the worst electrical angle${away}`,
      task: id,
    };
  })(input, design, joint, only);

/** Seconds to the winding's limit at peak torque: stalled, from the schedule's hottest moment. */
const peakTorqueTime: MetricFunction = ofHeat((heat) => {
  const { fromDay, fromCold } = heat.peak.stalled;
  const unknown = unknownTask(heat);
  if (unknown !== undefined) return { openBecause: `${unknown}: ${BEYOND}` };
  return {
    value: heat.course.melts ? 0 : fromDay,
    at: `stalled at the worst electrical angle, from the schedule’s hottest moment; from cold ${fromCold.toPrecision(3)} s`,
  };
});

/** Motor torque for ever while turning. */
const continuousTorque: MetricFunction = ofHeat(({ continuousTorque: value }) =>
  Number.isNaN(value)
    ? { openBecause: 'the winding’s limit is not above the air around the leg' }
    : { value, at: 'turning, magnets as hot as the housing then is' },
);

/** Winding, housing and what may be asked for how long. */
export const heatMetrics: Readonly<Record<string, Metric>> = {
  windingTemperature: {
    title: 'Winding over the schedule',
    kind: 'temperature',
    unit: 'K',
    formula: 'max T_w: C_w·Ṫ_w = P·[1 + α·(T_w − T_0)] − (T_w − T_h)/R_wh, P = ⟨1.5·R·i²⟩ per task',
    chapter: 'drive.md#heat',
    reads: [...THERMAL, ...CAPACITIES, MAGNETS, 'thermal.windingLimit', ...TORQUE_CURVE, ...MOTOR, ...DEMAND],
    cautions: [HEAT],
    value: hottest('winding'),
  },
  surfaceTemperature: {
    title: 'Touchable surface over the schedule',
    kind: 'temperature',
    unit: 'K',
    formula: 'max T_h: C_h·Ṫ_h = (T_w − T_h)/R_wh + P_h − (T_h − T_a)/R_ha',
    chapter: 'drive.md#heat',
    reads: [...THERMAL, ...CAPACITIES, MAGNETS, 'thermal.windingLimit', ...TORQUE_CURVE, ...MOTOR, ...DEMAND],
    cautions: ['The housing is one temperature here; a real one has a hottest spot.', HEAT],
    value: hottest('housing'),
  },
  standingWindingTemperature: {
    title: 'Winding, standing for ever',
    kind: 'temperature',
    unit: 'K',
    formula: 'T_k = T_h + R_wh·s·P·[1 + α·(T_h − T_0)]/(1 − α·R_wh·s·P), s = 2 in the hottest phase',
    chapter: 'drive.md#standing-still',
    reads: [
      ...THERMAL,
      MAGNETS,
      ...TORQUE_CURVE,
      'transmission.ratio',
      'transmission.drivingEfficiency',
      'wearer.mass',
    ],
    cautions: [HEAT],
    value: standingWinding,
  },
  timeAtPeakTorque: {
    title: 'Time at peak torque',
    kind: 'time',
    unit: 's',
    formula: 't until T_k = T_max in the hottest stalled phase at i_max, from the schedule’s hottest moment',
    chapter: 'drive.md#time-at-peak-torque',
    reads: [
      ...THERMAL,
      ...CAPACITIES,
      MAGNETS,
      'thermal.windingLimit',
      ...CURRENT_LIMIT,
      ...TORQUE_CURVE,
      ...MOTOR,
      ...DEMAND,
    ],
    cautions: [HEAT],
    value: peakTorqueTime,
  },
  continuousMotorTorque: {
    title: 'Continuous motor torque',
    kind: 'torque',
    unit: 'N·m',
    formula: 'f(T_m)·τ(i), 1.5·R·i² = (T_max − T_a)/(R_t·[1 + α·(T_max − T_0)])',
    chapter: 'drive.md#heat',
    reads: [...THERMAL, MAGNETS, 'thermal.windingLimit', ...TORQUE_CURVE],
    cautions: ['Turning: a stalled motor holds less, since one phase takes up to twice the mean loss.', HEAT],
    value: continuousTorque,
  },
};
