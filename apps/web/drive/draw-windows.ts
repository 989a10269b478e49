import { metAt, RATIO_ENDS, type Requirement, type RequirementWindow, shownUnit } from '@striderule/engine';
import type { Drawn } from '../draw/instrument.tsx';
import { type Mark, mark, round } from '../draw/mark.ts';
import type { Metrics } from '../read-study.ts';
import type { Cell } from '../show/csv.ts';
import { fixed, significant } from '../show/number.ts';
import { engraved } from './draw-slide.ts';
import { logAt } from './log-scale.ts';
import { slideFrame } from './slide-frame.ts';
import type { RatioWindows } from './use-ratio-windows.ts';
import { windowsText } from './windows-text.ts';

const TOP = 46;
const FOOT = 40;
const ROW = { wide: 21, narrow: 36 };
/** A bar bears its name where that has room in it; on a phone names stand above. */
const BAR = { wide: 17, narrow: 10 };
/** px of a letter of a label and of a numeral, near enough to see what has room. */
const LETTER = 5.6;
const DIGIT = 5.8;
/** px between a bar's end and its numeral. */
const INSET = 4;

export const windowsHeight = (width: number, lines: number): number =>
  TOP + lines * (slideFrame(width, []).narrow ? ROW.narrow : ROW.wide) + FOOT;

interface Row {
  readonly asked: Requirement;
  readonly name: string;
  /** Undefined: not worked out yet. */
  readonly found: RequirementWindow | undefined;
}

const boundText = ({ metric, bound }: Requirement, metrics: Metrics): string => {
  const { of, unit } = shownUnit(metrics[metric]?.unit ?? '');
  const number = `${bound.kind === 'at most' ? '≤' : '≥'} ${significant(of(bound.value))}`;
  return unit === '×' ? number : `${number} ${unit}`;
};

/** `Speed, limit ÷ need ≥ 1.10`, with the task where it is asked of one and there is room. */
const askedText = (asked: Requirement, metrics: Metrics, narrow: boolean): string =>
  `${metrics[asked.metric]?.title ?? asked.metric}${asked.task === undefined || narrow ? '' : `, ${asked.task}`} ${boundText(asked, metrics)}`;

/** High windows first and low ones last, so that what pushes up and what holds down stand apart; until all are known, as asked. */
function rowsOf({ asked, found, whole }: RatioWindows, metrics: Metrics, narrow: boolean): Row[] {
  const rows = asked.map(
    (each, k): Row => ({ asked: each, name: askedText(each, metrics, narrow), found: found[k] }),
  );
  if (!whole) return rows;
  const middle = ({ found: own }: Row): number => {
    const [first] = own?.windows ?? [];
    return first === undefined ? Number.POSITIVE_INFINITY : first[0] * own!.windows.at(-1)![1];
  };
  return rows.toSorted((a, b) => middle(b) - middle(a));
}

/** At which ratios each requirement is met, on the slide's scale; over them where most are, and the ratio under the hand. */
export function drawWindows(
  width: number,
  shown: RatioWindows,
  metrics: Metrics,
  { now, saved, joint }: { readonly now: number; readonly saved: number; readonly joint: string },
): Drawn {
  const { narrow, x0, axis, ratio: scale } = slideFrame(width, []);
  const rows = rowsOf(shown, metrics, narrow);
  const pitch = narrow ? ROW.narrow : ROW.wide;
  const base = TOP + rows.length * pitch;
  const x = (ratio: number) => x0 + logAt(scale, ratio);
  const at = Math.round(x(now)) + 0.5;
  const { most } = shown;
  const band =
    most === undefined
      ? []
      : [
          mark('rect', {
            class: 'ground crisp',
            x: round(x(most.window[0])),
            y: TOP,
            width: Math.max(2, round(x(most.window[1]) - x(most.window[0]))),
            height: base - TOP,
          }),
          mark(
            'text',
            {
              class: 'label strong halo',
              x: round(x(most.window[0])),
              y: TOP - 12,
              'text-anchor': narrow ? 'middle' : 'start',
            },
            `${fixed(most.window[0], 1)} to ${fixed(most.window[1], 1)} meets ${most.met} of ${rows.length}`,
          ),
          mark('path', {
            class: 'reach',
            d: `M${round(x(most.window[0]))} ${TOP - 4.5}H${round(Math.max(x(most.window[1]), x(most.window[0]) + 2))}`,
          }),
        ];
  const names = narrow
    ? [mark('text', { class: 'name', x: x0, y: 12 }, 'Met, over the ratio')]
    : [
        mark('text', { class: 'name', x: 0, y: TOP - 26 }, 'Met, over the ratio'),
        mark('text', { class: 'unit', x: 0, y: base + 20 }, 'Ratio, motor : joint'),
      ];
  const still = [
    ...band,
    ...names,
    ...engraved(scale, x0, base, false),
    mark('path', { class: 'seam crisp', d: `M${x0 + 0.5} ${base + 0.5}H${x0 + axis + 0.5}` }),
  ];
  const place: Place = { x, x0, axis, width, narrow };
  const tops = rows.map((_, k) => TOP + k * pitch);
  const marks: Mark[] = [
    ...rows.flatMap((row, k) => barMarks(row, tops[k]!, now, place)),
    ...(saved === now
      ? []
      : [
          mark('path', { class: 'thin crisp', d: `M${Math.round(x(saved)) + 0.5} ${TOP}V${base}` }),
          mark('path', { class: 'ghost', d: `M${round(x(saved))} ${base}l-4.5 8h9z` }),
        ]),
    mark('path', { class: 'edge crisp', d: `M${at} ${TOP - 6}V${base + 10}` }),
    ...rows.flatMap((row, k) => textMarks(row, tops[k]!, place)),
  ];
  return {
    still,
    marks,
    said: windowsSaid(shown, now, joint),
    rows: () => tableOf(rows, shown, metrics, now),
  };
}

interface Place {
  readonly x: (ratio: number) => number;
  readonly x0: number;
  readonly axis: number;
  readonly width: number;
  readonly narrow: boolean;
}

const middleOf = (top: number, narrow: boolean): number =>
  narrow ? top + ROW.narrow - 10 : top + ROW.wide / 2;

/** Full where it is met at the ratio under the hand, dashed and empty where it is not. */
function barMarks({ found }: Row, top: number, now: number, { x, x0, axis, narrow }: Place): Mark[] {
  const y = middleOf(top, narrow);
  const high = narrow ? BAR.narrow : BAR.wide;
  return [
    mark('path', { class: 'zero crisp', d: `M${x0} ${Math.round(y) + 0.5}H${x0 + axis}` }),
    ...(found?.windows ?? []).map(([from, to]) =>
      mark('rect', {
        class: from <= now && now <= to ? 'box crisp' : 'box-open crisp filled',
        x: Math.round(x(from)) + 0.5,
        y: Math.round(y - high / 2) + 0.5,
        width: Math.max(2, Math.round(x(to) - x(from))),
        height: high,
      }),
    ),
  ];
}

/** Name and ends: in the bar where they fit, else beside it where there is more room; on a phone the name above the bar. */
function textMarks({ name, found }: Row, top: number, { x, x0, axis, width, narrow }: Place): Mark[] {
  const y = middleOf(top, narrow) + 4;
  const text = (kind: string, at: number, anchor: 'start' | 'middle' | 'end', told: string) =>
    mark('text', { class: kind, x: round(at), y, 'text-anchor': anchor }, told);
  const above = (told: string, kind = 'label halo') =>
    mark('text', { class: kind, x: x0, y: top + 14 }, told);
  const [first, last] = [found?.windows[0], found?.windows.at(-1)];
  if (found === undefined || first === undefined || last === undefined) {
    const told = `${name}, ${found === undefined ? '…' : windowsText(found)}`;
    return [narrow ? above(told, 'gap halo') : text('gap halo', x0 + 8, 'start', told)];
  }
  const [left, right] = [x(first[0]), x(last[1])];
  const low = first[0] > RATIO_ENDS[0] ? fixed(first[0], 1) : '';
  const high = last[1] < RATIO_ENDS[1] ? fixed(last[1], 1) : '';
  const room = (told: string) => (told === '' ? 0 : DIGIT * told.length + 2 * INSET);
  const inside = found.windows.length === 1 ? right - left - room(low) - room(high) : -1;
  if (narrow)
    return [
      above(name),
      ...(low === '' ? [] : [text('numeral halo', left - INSET, 'end', low)]),
      ...(high === ''
        ? []
        : right + room(high) < width
          ? [text('numeral halo', right + INSET, 'start', high)]
          : [text('numeral', right - INSET, 'end', high)]),
    ];
  const long = LETTER * name.length;
  const numerals = [
    ...(low === '' ? [] : [text('numeral', left + INSET, 'start', low)]),
    ...(high === '' ? [] : [text('numeral', right - INSET, 'end', high)]),
  ];
  if (inside >= long + 2 * INSET)
    return [...numerals, text('label', left + room(low) + INSET + inside / 2, 'middle', name)];
  const [before, after] = [left - 2 * INSET, width - right - 2 * INSET];
  const toLeft = before > long && (after < long || x0 + axis - right < left - x0);
  // a bar too short for its own ends tells them with its name
  const told = inside >= 0 ? name : `${name}, ${windowsText(found)}`;
  return [
    ...(inside >= 0 ? numerals : []),
    toLeft
      ? text('label halo', left - 2 * INSET, 'end', told)
      : text('label halo', right + 2 * INSET, 'start', told),
  ];
}

function windowsSaid({ asked, most, whole, found, lost }: RatioWindows, now: number, joint: string): string {
  const count = asked.length;
  if (lost) return 'This browser runs nothing beside the page: striderule drive ratio prints it.';
  if (!whole) return `Being worked out: ${found.length} of ${count} requirements.`;
  const here = found.filter((each) => metAt(each, now)).length;
  const best =
    most === undefined
      ? `No ratio of the ${joint} meets any of ${count} requirements that it moves.`
      : `Of ${count} requirements that the ${joint}’s ratio moves, ${fixed(most.window[0], 1)} to ${fixed(most.window[1], 1)} : 1 meets most, ${most.met}.`;
  return `${best} ${fixed(now, 1)} meets ${here}.`;
}

function tableOf(rows: readonly Row[], { most }: RatioWindows, metrics: Metrics, now: number): Cell[][] {
  return [
    ['requirement', 'what', 'asked', 'met', 'from', 'to', `at ${fixed(now, 1)}`, 'where most are met'],
    ...rows.flatMap(({ asked, found }): Cell[][] => {
      const ends = found === undefined || found.windows.length === 0 ? [[null, null]] : found.windows;
      return ends.map(([from, to]): Cell[] => [
        asked.id,
        metrics[asked.metric]?.title ?? asked.metric,
        boundText(asked, metrics),
        found === undefined ? 'being worked out' : windowsText(found),
        from,
        to,
        found === undefined ? '' : metAt(found, now) ? 'met' : 'not met',
        found === undefined || most === undefined ? '' : most.lacking.includes(found) ? 'not met' : 'met',
      ]);
    }),
  ];
}
