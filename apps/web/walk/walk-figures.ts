import {
  mappedFaults,
  type WalkLine,
  type WalkReport,
  type WalkSteady,
  type WalkStride,
} from '@striderule/engine';
import { fixed, significant } from '../show/number.ts';
import { legText } from '../show/ratio-text.ts';
import { degrees } from '../show/unit.ts';
import type { WalkAsk } from './answer-walk.ts';
import type { Walked } from './walk-store.ts';

/** One figure of a walk: of each stride, and the mean of the steady ones. */
export interface WalkFigure {
  readonly name: string;
  readonly unit: string;
  readonly decimals: number;
  readonly of: (stride: WalkStride) => number;
  readonly mean: (steady: WalkSteady) => number;
  /** Told where a change of the leg is told in words. */
  readonly told?: boolean;
}

/** Strides of a walk by their figures, in this order. */
export const STRIDE_FIGURES: readonly WalkFigure[] = [
  { name: 'takes', unit: 's', decimals: 3, of: (s) => s.duration, mean: (s) => s.duration },
  {
    ...{ name: 'knee off', unit: '° RMS', decimals: 1, told: true },
    of: (s) => degrees(s.knee.error),
    mean: (s) => degrees(s.kneeError),
  },
  {
    ...{ name: 'ankle off', unit: '° RMS', decimals: 1, told: true },
    of: (s) => degrees(s.ankle.error),
    mean: (s) => degrees(s.ankleError),
  },
  {
    ...{ name: 'hip gives', unit: 'J', decimals: 1, told: true },
    of: (s) => s.hip.positiveWork,
    mean: (s) => s.hipPositiveWork,
  },
  {
    ...{ name: 'hip takes', unit: 'J', decimals: 1, told: true },
    of: (s) => s.hip.negativeWork,
    mean: (s) => s.hipNegativeWork,
  },
  {
    ...{ name: 'pull-off', unit: 'W', decimals: 0, told: true },
    of: (s) => s.hip.pullOff,
    mean: (s) => s.pullOff,
  },
  {
    ...{ name: 'push-off', unit: 'J', decimals: 1, told: true },
    of: (s) => s.pushOff.work,
    mean: (s) => s.pushOff,
  },
  {
    ...{ name: 'socket along', unit: 'N', decimals: 0 },
    of: (s) => s.socketAlong,
    mean: (s) => s.socketAlong,
  },
  {
    ...{ name: 'socket moment', unit: 'N·m', decimals: 0, told: true },
    of: (s) => s.socketMoment,
    mean: (s) => s.socketMoment,
  },
  {
    ...{ name: 'impact', unit: 'N', decimals: 0, told: true },
    of: (s) => s.impact,
    mean: (s) => s.impact,
  },
  {
    ...{ name: 'clearance', unit: 'mm', decimals: 0, told: true },
    of: (s) => 1e3 * s.clearance,
    mean: (s) => 1e3 * s.clearance,
  },
  {
    ...{ name: 'out of the cells', unit: 'J', decimals: 1, told: true },
    of: (s) => s.energy.cells,
    mean: (s) => s.cells,
  },
  {
    ...{ name: 'knee changes flank', unit: 'times', decimals: 1 },
    of: (s) => s.knee.flankChanges,
    mean: (s) => s.kneeFlankChanges,
  },
  {
    ...{ name: 'knee flanks meet', unit: 'N·m', decimals: 1, told: true },
    of: (s) => s.knee.hardestMeeting,
    mean: (s) => s.kneeMeeting,
  },
  {
    ...{ name: 'ankle changes flank', unit: 'times', decimals: 1 },
    of: (s) => s.ankle.flankChanges,
    mean: (s) => s.ankleFlankChanges,
  },
  {
    ...{ name: 'ankle flanks meet', unit: 'N·m', decimals: 1, told: true },
    of: (s) => s.ankle.hardestMeeting,
    mean: (s) => s.ankleMeeting,
  },
  { name: 'guide at the hip', unit: 'N RMS', decimals: 0, of: (s) => s.guide, mean: (s) => s.guide },
  {
    ...{ name: 'guide works', unit: 'J', decimals: 1 },
    of: (s) => s.works.guide,
    mean: (s) => s.guideWork,
  },
];

/** What a walk of every day is called beside others. */
const walkName = (leg: string, { speed, thigh, ground, step }: WalkReport): string =>
  `${leg}, ${fixed(speed, 2)} m/s, thigh ${thigh}, ${ground}, steps of ${significant(1e3 * step, 2)} ms`;

const CONTROL = { clock: 'springs fitted to this stride', study: 'the study’s own', none: 'none' } as const;

/** What differs between two walks in what was asked, in words. */
export function askedApart(
  before: { readonly leg: string; readonly report: WalkReport },
  now: { readonly leg: string; readonly report: WalkReport },
): string {
  const [a, b] = [before.report, now.report];
  return [
    before.leg === now.leg ? '' : `${before.leg} → ${now.leg}`,
    a.speed === b.speed ? '' : `${fixed(a.speed, 2)} → ${fixed(b.speed, 2)} m/s`,
    a.thigh === b.thigh ? '' : `thigh ${a.thigh} → ${b.thigh}`,
    a.control === b.control ? '' : `controller: ${CONTROL[a.control]} → ${CONTROL[b.control]}`,
    a.ground === b.ground ? '' : `${a.ground} → ${b.ground}`,
    a.step === b.step ? '' : `steps ${significant(1e3 * a.step, 2)} → ${significant(1e3 * b.step, 2)} ms`,
  ]
    .filter((text) => text !== '')
    .join(', ');
}

const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

/** Whether the leg carried its wearer through, by what the study asks of such a walk and by figures from outside; and what the hip does for it. */
export function walkAnswer(leg: string, report: WalkReport, lines: readonly WalkLine[]): string {
  const { strides, fell, checks, speed, thigh, steady } = report;
  const whole = count(strides.length, 'whole stride', 'whole strides');
  if (fell !== undefined)
    return `No: ${leg} fell after ${fixed(fell.time, 2)} s at ${fixed(speed, 2)} m/s: ${fell.why}, ${whole} before.`;
  const [missed, open] = ['not met', 'open'].map(
    (state) => lines.filter((line) => line.state === state).length,
  );
  const outside = checks.filter(({ holds }) => !holds).length;
  const asked = count(
    lines.length,
    'line that the study asks of such a walk',
    'lines that the study asks of such a walk',
  );
  const figures = count(checks.length, 'figure', 'figures');
  const bad = [
    ...(missed! > 0 ? [`${missed} of the ${asked} ${missed === 1 ? 'is' : 'are'} not met`] : []),
    ...(outside > 0
      ? [`${outside} of ${figures} set against outside ${outside === 1 ? 'lies' : 'lie'} beyond its line`]
      : []),
  ];
  const good = [
    ...(missed === 0 && open === 0 && lines.length > 0
      ? [`the ${asked} ${lines.length === 1 ? 'is' : 'are'} met`]
      : []),
    ...(open! > 0 ? [`${open} of the ${asked} ${open === 1 ? 'is' : 'are'} open`] : []),
    ...(lines.length === 0 ? ['the study asks nothing of such a walk'] : []),
    ...(outside === 0 && checks.length > 0
      ? [`${figures} set against outside ${checks.length === 1 ? 'holds' : 'hold'}`]
      : []),
  ];
  const head = bad.length > 0 ? 'No, not as it is asked' : open! > 0 ? 'Yes, as far as it is judged' : 'Yes';
  const hip =
    steady === undefined
      ? ''
      : ` The hip gives ${fixed(steady.hipPositiveWork, 1)} J and takes ${fixed(-steady.hipNegativeWork, 1)} J a stride, the thigh ${thigh}.`;
  return `${head}: ${leg} comes through ${whole} at ${fixed(speed, 2)} m/s${bad.length > 0 ? `, but ${bad.join(' and ')}` : ''}${good.length > 0 ? `; ${good.join(', ')}` : ''}.${hip}`;
}

/** What is walked in the place of every day, in words. */
export function insteadWords({ input, instead }: WalkAsk): string {
  const place = (share: number): string => `${fixed(100 * share, 0)} % of the stride`;
  switch (instead?.kind) {
    case 'scenario':
      return instead.scenario.title;
    case 'fault': {
      const known = mappedFaults(input.leg).find(({ id }) => id === instead.fault);
      return `${known?.title ?? instead.fault} at ${place(instead.place)}`;
    }
    case 'cut':
      return `all power lost at ${place(instead.place)}`;
    default:
      return '';
  }
}

/** What a walk is called beside others, with what is walked in the place of every day. */
export const wholeName = ({ ask, report }: Walked): string =>
  `${walkName(legText(ask.input.leg), report)}${ask.instead === undefined ? '' : `, ${insteadWords(ask)}`}`;

/** What goes wrong, where it does. */
export function wrongWords({ input, instead }: WalkAsk): string {
  const id =
    instead?.kind === 'scenario'
      ? instead.scenario.fault?.name
      : instead?.kind === 'fault'
        ? instead.fault
        : undefined;
  const known = mappedFaults(input.leg).find((fault) => fault.id === id);
  return `${known?.title ?? 'all power lost'} from here`;
}

/** What is walked in the place of every day, in the name of a file. */
export function insteadKey({ instead }: WalkAsk): string {
  switch (instead?.kind) {
    case 'scenario':
      return `-${instead.scenario.id}`;
    case 'fault':
      return `-${instead.fault}-${fixed(100 * instead.place, 0)}`;
    case 'cut':
      return `-power-cut-${fixed(100 * instead.place, 0)}`;
    default:
      return '';
  }
}

/** How it went, in a sentence. */
export function insteadVerdict({ ask, report, record }: Walked): string {
  const { strides, fell } = report;
  const { stretch } = record.log;
  const whole = `${strides.length} whole ${strides.length === 1 ? 'stride' : 'strides'}`;
  const hangs = ask.instead?.kind === 'scenario' && ask.instead.scenario.hangs !== undefined;
  const since =
    record.wrongFrom === undefined || fell === undefined
      ? ''
      : `, ${fixed(fell.time - record.wrongFrom, 2)} s after it began`;
  const how =
    fell === undefined
      ? stretch
        ? `came to its end after ${fixed(record.log.rows * record.log.period, 2)} s`
        : hangs
          ? `moved through ${whole}`
          : `still stands after ${whole}`
      : `fell after ${fixed(fell.time, 2)} s${since}: ${fell.why}${stretch ? '' : `, ${whole} before`}`;
  return `${fell === undefined ? 'Yes' : 'No'}: ${ask.input.leg.name}, ${insteadWords(ask)}: ${how}.`;
}
