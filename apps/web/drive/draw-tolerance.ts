import { type RequirementTolerance, shownUnit, type Tolerance } from '@striderule/engine';
import type { Drawn } from '../draw/instrument.tsx';
import { type Mark, mark, round } from '../draw/mark.ts';
import { frameFor } from '../rule/frame.ts';
import type { Cell } from '../show/csv.ts';
import { fixed, significant } from '../show/number.ts';

/** Below this the linear model leaves so much unexplained that its shares rank nothing. Our choice. */
const EXPLAINS = 0.8;
const SHOWN_SHARE = 0.03;
/** Lines that the summary names. */
const SAID = 3;
/** Tests that are drawn; the table has all. */
const SHOWN_TESTS = 5;

const TOP = 40;
const HEAD = 66;
const FOOT = 12;
const ROW = { wide: 36, narrow: 66 };
const TEST = { wide: 40, narrow: 66 };
/** Where the shares are drawn on a wide page, px: right of the longest title. */
const SHARES = { from: 300, long: 200 };

/** A requirement as people call it. */
export interface ToleranceLine {
  readonly id: string;
  readonly title: string;
  /** The task that it is asked for, where it is one. */
  readonly task: string | undefined;
}

/** What the study calls it: in second place. */
const second = ({ id, task }: ToleranceLine): string => (task === undefined ? id : `${id}, ${task}`);

const quoted = (lines: readonly ToleranceLine[], id: string): string => {
  const line = lines.find((each) => each.id === id);
  return line === undefined ? id : `“${line.title}${line.task === undefined ? '' : `, ${line.task}`}”`;
};

export const toleranceHeight = (width: number, lines: number): number =>
  width < 640
    ? TOP + lines * ROW.narrow + HEAD + SHOWN_TESTS * TEST.narrow + FOOT
    : TOP + lines * ROW.wide + HEAD + SHOWN_TESTS * TEST.wide + FOOT;

/** A share as per cent; 0 and 100 only where every draw says so. */
function percent(share: number): string {
  const rounded = Math.round(1000 * share) / 10;
  return share > 0 && share < 1 ? fixed(Math.min(99.9, Math.max(0.1, rounded)), 1) : fixed(rounded, 0);
}

/** An input without the part of its path that says nothing. */
const inputName = (path: string): string => path.replace(/^joints\./, '').replace(/^people\./, 'people, ');

/** What the spread of a prediction comes from, largest first: as many as there is room for, in signs. */
function dominant({ contributions, explained, percentiles }: RequirementTolerance, room: number): string {
  if (percentiles === null) return 'not predicted';
  if (!percentiles.every(Number.isFinite)) return 'without bound in some draws';
  if (contributions.length === 0) return 'nothing that is drawn moves it';
  if (!(explained >= EXPLAINS)) return 'not linear: go by the draws';
  const told = contributions
    .filter(({ share }, k) => k === 0 || share >= SHOWN_SHARE)
    .map(({ path, share }) => `${inputName(path)} ${fixed(100 * share, 0)} %`);
  let text = told[0]!;
  for (const next of told.slice(1)) if (text.length + next.length + 2 <= room) text += `, ${next}`;
  return text;
}

/** Each requirement as a probability with its interval, what its spread comes from, and the tests that would settle most. */
export function drawTolerance(
  width: number,
  lines: readonly ToleranceLine[],
  shown: Tolerance | undefined,
  ratio: string,
): Drawn {
  const { narrow, x0, axis } = frameFor(width, [], false);
  const row = narrow ? ROW.narrow : ROW.wide;
  const [from, long] = narrow ? [x0, axis] : [SHARES.from, SHARES.long];
  const x = (share: number) => from + share * long;
  const base = TOP + lines.length * row;
  const scale = [0, 0.25, 0.5, 0.75, 1];
  const marks: Mark[] = [
    mark(
      'text',
      { class: 'name', x: 0, y: 14 },
      'Met in',
      mark('tspan', { class: 'unit', dx: 5, 'font-weight': 400 }, '% of the legs and people drawn'),
    ),
    ...scale.flatMap((share) => [
      mark('path', { class: 'zero crisp', d: `M${Math.round(x(share)) + 0.5} ${TOP - 4}V${base}` }),
      mark(
        'text',
        {
          class: 'numeral',
          x: round(x(share)),
          y: TOP - 9,
          'text-anchor': narrow && share === 0 ? 'start' : narrow && share === 1 ? 'end' : 'middle',
        },
        fixed(100 * share, 0),
      ),
    ]),
    ...(narrow
      ? []
      : [
          mark(
            'text',
            { class: 'unit', x: x(1) + 124, y: TOP - 9 },
            'what its spread comes from, share of the variance',
          ),
        ]),
  ];
  // the lines stand there before anything is drawn of them
  marks.push(...lines.flatMap((line, k) => nameMarks(line, TOP + k * row, { narrow, width })));
  if (shown !== undefined) {
    for (const each of shown.requirements) {
      const k = lines.findIndex(({ id }) => id === each.requirement.id);
      marks.push(...lineMarks(each, TOP + k * row, { x, narrow, width }));
    }
    marks.push(...testMarks(shown, lines, base + HEAD, { x0, axis, narrow }));
  }
  return { marks, said: toleranceSaid(shown, lines, ratio), rows: () => toleranceRows(shown, lines) };
}

function nameMarks(
  line: ToleranceLine,
  top: number,
  { narrow, width }: { readonly narrow: boolean; readonly width: number },
): Mark[] {
  return [
    mark('path', { class: 'zero crisp', d: `M0 ${top + (narrow ? ROW.narrow : ROW.wide) - 0.5}H${width}` }),
    mark('text', { class: 'label halo', x: 0, y: top + 14 }, line.title),
    mark('text', { class: 'unit halo', x: 0, y: top + 28 }, second(line)),
  ];
}

function lineMarks(
  each: RequirementTolerance,
  top: number,
  {
    x,
    narrow,
    width,
  }: { readonly x: (share: number) => number; readonly narrow: boolean; readonly width: number },
): Mark[] {
  const { met } = each;
  const y = top + (narrow ? 39 : 18);
  const text =
    met === null ? 'not predicted' : `${percent(met.share)} (${percent(met.low)}–${percent(met.high)})`;
  const bar =
    met === null
      ? []
      : [
          mark('path', { class: 'tick2', d: `M${round(x(0))} ${y}H${round(x(met.share))}` }),
          mark('rect', {
            class: 'box',
            x: round(x(met.low)),
            y: y - 5,
            width: Math.max(1, round(x(met.high) - x(met.low))),
            height: 10,
          }),
          mark('path', { class: 'edge', 'stroke-width': 2, d: `M${round(x(met.share))} ${y - 6}v12` }),
        ];
  return [
    ...bar,
    mark(
      'text',
      {
        class: met !== null && met.share < 0.5 ? 'label strong halo' : 'label halo',
        x: narrow ? width : round(x(1)) + 10,
        y: narrow ? top + 28 : y + 4,
        'text-anchor': narrow ? 'end' : 'start',
      },
      text,
    ),
    mark(
      'text',
      { class: 'unit halo', x: narrow ? 0 : round(x(1)) + 124, y: narrow ? top + 60 : y + 4 },
      dominant(each, 48),
    ),
  ];
}

function testMarks(
  { tests }: Tolerance,
  lines: readonly ToleranceLine[],
  top: number,
  { x0, axis, narrow }: { readonly x0: number; readonly axis: number; readonly narrow: boolean },
): Mark[] {
  const title = [
    mark('text', { class: 'name', x: 0, y: top - 30 }, 'The next bench test that pays'),
    mark(
      'text',
      { class: 'unit', x: 0, y: top - 14 },
      narrow
        ? 'open requirements that its result would settle, on average'
        : 'how many open requirements its result would settle, on average; which, with what chance',
    ),
  ];
  if (tests.length === 0)
    return [
      ...title,
      mark(
        'text',
        { class: 'gap', x: 0, y: top + 14 },
        'None: each is met or missed as far as the spreads reach, or not predicted.',
      ),
    ];
  const most = Math.max(...tests.map(({ expected }) => expected), 1);
  const row = narrow ? TEST.narrow : TEST.wide;
  const from = narrow ? 0 : x0 + 200;
  const long = narrow ? axis - 40 : 160;
  return [
    ...title,
    ...tests.slice(0, SHOWN_TESTS).flatMap(({ test, expected, settles }, k): Mark[] => {
      const y = top + k * row;
      const bar = y + (narrow ? 19 : 3);
      const told = settles.map(({ id, chance }) => `${quoted(lines, id)} ${fixed(100 * chance, 0)} %`);
      const more = told.length > 2 ? ` and ${told.length - 2} more` : '';
      return [
        mark('text', { class: k === 0 ? 'label strong' : 'label', x: 0, y: y + 12 }, test),
        mark('rect', {
          class: 'box crisp',
          x: from,
          y: bar,
          width: round((long * expected) / most),
          height: 10,
        }),
        mark(
          'text',
          { class: 'label strong', x: round(from + (long * expected) / most) + 6, y: bar + 10 },
          fixed(expected, 2),
        ),
        ...told.slice(0, 2).map((text, at) =>
          mark(
            'text',
            {
              class: 'unit',
              x: narrow ? 0 : from + long + 46,
              y: y + (narrow ? 42 : 12) + 15 * at,
            },
            at === 1 ? text + more : text,
          ),
        ),
      ];
    }),
  ];
}

function toleranceSaid(shown: Tolerance | undefined, lines: readonly ToleranceLine[], ratio: string): string {
  if (shown === undefined) return 'Nothing to tell yet.';
  const { requirements, tests, draws } = shown;
  const doubtful = requirements
    .filter(({ met }) => met !== null && met.share > 0.05 && met.share < 0.95)
    .toSorted((a, b) => Math.abs(a.met!.share - 0.5) - Math.abs(b.met!.share - 0.5))
    .map(({ requirement, met }) => `${quoted(lines, requirement.id)} ${percent(met!.share)} %`);
  const others = doubtful.length - SAID;
  const [first] = tests;
  return `Of ${draws} legs and people drawn at ${ratio} : 1: ${doubtful.length === 0 ? 'no line hangs in the balance' : `most in the balance ${doubtful.slice(0, SAID).join(', ')}${others > 0 ? ` and ${others} more` : ''}`}.${first === undefined ? '' : ` The test that settles most is ${first.test}: ${fixed(first.expected, 1)} open requirements on average.`}`;
}

function toleranceRows(shown: Tolerance | undefined, lines: readonly ToleranceLine[]): Cell[][] {
  const head = [
    'what',
    'id',
    'asked',
    'unit',
    '5th',
    'median',
    '95th',
    'met, %',
    'low, %',
    'high, %',
    'comes from, or settles',
  ];
  if (shown === undefined) return [head];
  return [
    head,
    ...shown.requirements.map((each): Cell[] => {
      const { requirement, percentiles, met } = each;
      const { of, unit } = shownUnit(each.unit);
      const number = (at: 0 | 1 | 2) => (percentiles === null ? null : of(percentiles[at]));
      return [
        lines.find(({ id }) => id === requirement.id)?.title ?? requirement.id,
        requirement.id,
        `${requirement.bound.kind === 'at most' ? '≤' : '≥'} ${significant(of(requirement.bound.value))}`,
        unit,
        number(0),
        number(1),
        number(2),
        met === null ? null : 100 * met.share,
        met === null ? null : 100 * met.low,
        met === null ? null : 100 * met.high,
        each.unknown > 0 && percentiles !== null
          ? `${dominant(each, 200)}; ${each.unknown} draws have no number and count as not met`
          : (each.openBecause ?? dominant(each, 200)),
      ];
    }),
    ...shown.tests.map(({ test, expected, settles }): Cell[] => [
      `test: ${test}`,
      '',
      '',
      '',
      null,
      null,
      null,
      null,
      null,
      null,
      `${fixed(expected, 2)} settled: ${settles.map(({ id, chance }) => `${quoted(lines, id)} ${fixed(100 * chance, 0)} %`).join(', ')}`,
    ]),
  ];
}
