import { type DrivenJoint, type JointHeat, shownUnit } from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, significant } from './number-text.ts';
import { list } from './paragraph.ts';
import { strideScale } from './scales.ts';
import { table } from './table.ts';

/** Heat of a joint, or why there is none. */
export type JointHeats = readonly (readonly [DrivenJoint, JointHeat | { readonly openBecause: string }])[];

const { of: celsius } = shownUnit('K');
const degrees = (kelvin: number): string =>
  kelvin === Number.POSITIVE_INFINITY ? 'runaway' : fixed(celsius(kelvin), 0);
const seconds = (s: number): string => (s === Number.POSITIVE_INFINITY ? 'no limit' : `${significant(s)} s`);

/** One line first: whether each winding stays below its limit over the schedule. */
export function heatVerdict(heats: JointHeats): string {
  if (heats.length === 0) return 'This leg drives no joint: nothing heats.';
  const told = heats.map(([joint, heat]) => {
    if ('openBecause' in heat) return { joint, says: `not known, ${heat.openBecause}`, state: 'open' };
    const { course, windingLimit } = heat;
    const top = course.winding[course.hottestWinding]!;
    if (Number.isNaN(top)) return { joint, says: 'not known, a task lies beyond saturation', state: 'open' };
    const limit = `limit ${degrees(windingLimit)} °C`;
    if (top <= windingLimit) return { joint, says: `${degrees(top)} °C, ${limit}`, state: 'fine' };
    const past = `${limit} passed after ${fixed(course.pastLimit / 60, 0)} min`;
    return { joint, says: `${course.melts ? 'runs away' : `${degrees(top)} °C`}, ${past}`, state: 'hot' };
  });
  const word = told.some(({ state }) => state === 'hot')
    ? 'Too hot'
    : told.some(({ state }) => state === 'open')
      ? 'Not known'
      : 'Below the limit';
  return `${word}: hottest winding over the schedule, ${told.map(({ joint, says }) => `${joint} ${says}`).join('; ')}.`;
}

/** Each joint: table of tasks, course of the schedule, times, notes; cautions once. */
export function heatText(heats: JointHeats): string {
  if (heats.length === 0) return 'A passive joint is compared in the demand: striderule demand show.';
  return [
    ...heats.map(([joint, heat]) =>
      'openBecause' in heat ? `${joint}: not predicted, ${heat.openBecause}.` : jointText(joint, heat),
    ),
    CAUTION,
  ].join('\n\n');
}

function jointText(joint: string, heat: JointHeat): string {
  const { peak, timeConstants, leftOut } = heat;
  return [
    `${joint}: air ${degrees(heat.ambient)} °C, winding limit ${degrees(heat.windingLimit)} °C, surface limit ${
      heat.surfaceLimit === undefined ? 'unknown' : `${degrees(heat.surfaceLimit)} °C (your own)`
    }`,
    taskTable(heat),
    leftOut.length === 0 ? '' : `Left out, no curve with moments: ${leftOut.join('; ')}.`,
    courseText(heat),
    `At peak torque the winding is at its limit after\n${table(
      [
        { head: 'rotor', align: 'left' },
        { head: 'from cold' },
        { head: 'from the hottest moment' },
        { head: 'if no heat left it' },
      ],
      (['turning', 'stalled'] as const).map((rotor) => [
        rotor === 'stalled' ? 'stalled, worst angle' : rotor,
        seconds(peak[rotor].fromCold),
        seconds(peak[rotor].fromDay),
        seconds(peak[rotor].adiabatic),
      ]),
    )}`,
    `Continuous motor torque ${significant(heat.continuousTorque)} N·m, turning. Time constants ${timeConstants.map(seconds).join(' and ')}. Runaway from ${significant(heat.runawayLoss)} W of copper loss on.`,
    list(heat.notes),
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

function taskTable({ tasks }: JointHeat): string {
  return table(
    [
      { head: 'task', align: 'left' },
      { head: 'rotor', align: 'left' },
      { head: 'copper', unit: 'W at 20 °C' },
      { head: 'friction', unit: 'W' },
      { head: 'in schedule', unit: 'min' },
      { head: 'winding', unit: '°C, for ever' },
      { head: 'housing', unit: '°C, for ever' },
    ],
    tasks.map(({ id, load, duration, steady }) => [
      id,
      load.rotor,
      significant(load.copper),
      significant(load.friction),
      fixed(duration / 60, 1),
      degrees(steady.winding),
      degrees(steady.housing),
    ]),
  );
}

/** Winding and housing over the schedule, each from its least to its greatest value, and which tasks follow one another. */
function courseText({ course, order }: JointHeat): string {
  if (order.length === 0) return 'No task of the schedule has a curve with moments: no course.';
  const row = (name: string, T: Float64Array): string =>
    `${name}  ${strideScale(evenly(course.time, T))}  ${degrees(Math.min(...T))} … ${degrees(Math.max(...T))} °C`;
  const end = course.time.at(-1)! / 60;
  return [
    `Schedule from cold, ${fixed(end, 0)} min${course.melts ? '; the copper would melt there' : ''}: ${order.join(', ')}`,
    row('winding', course.winding),
    row('housing', course.housing),
  ].join('\n');
}

/** The course at even times, since its steps are not: the sample at or after each. */
function evenly(time: Float64Array, T: Float64Array): number[] {
  const end = time.at(-1)!;
  let at = 0;
  return Array.from({ length: 51 }, (_, k) => {
    while (at < time.length - 1 && time[at]! < (end * k) / 50) at++;
    return T[at]!;
  });
}
