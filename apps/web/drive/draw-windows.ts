import { metAt, type Requirement, type RequirementWindow, shownUnit } from '@striderule/engine';
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
const ROW = { wide: 20, narrow: 36 };
const BAR = 9;
/** px of a letter of a label, near enough to see whether it has room. */
const LETTER = 6.2;

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

/** `Speed, limit ÷ need ≥ 1.10`, with the task where it is asked of one. */
const askedText = (asked: Requirement, metrics: Metrics): string =>
  `${metrics[asked.metric]?.title ?? asked.metric}${asked.task === undefined ? '' : `, ${asked.task}`} ${boundText(asked, metrics)}`;

/** High windows first and low ones last, so that what pushes up and what holds down stand apart; until all are known, as asked. */
function rowsOf({ asked, found, whole }: RatioWindows, metrics: Metrics): Row[] {
  const rows = asked.map(
    (each, k): Row => ({ asked: each, name: askedText(each, metrics), found: found[k] }),
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
  const rows = rowsOf(shown, metrics);
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
    ...rows.flatMap((row, k) => rowMarks(row, TOP + k * pitch, { x, x0, axis, narrow, pitch })),
  ];
  const beads = rows.flatMap(({ found }, k) =>
    found === undefined
      ? []
      : [
          mark('circle', {
            class: metAt(found, now) ? 'pin' : 'lack',
            cx: at,
            cy: TOP + (k + 1) * pitch - (narrow ? 9 : pitch / 2),
            r: 3.5,
          }),
        ],
  );
  const marks: Mark[] = [
    ...(saved === now
      ? []
      : [
          mark('path', { class: 'thin crisp', d: `M${Math.round(x(saved)) + 0.5} ${TOP}V${base}` }),
          mark('path', { class: 'ghost', d: `M${round(x(saved))} ${base}l-4.5 8h9z` }),
        ]),
    mark('path', { class: 'edge crisp', d: `M${at} ${TOP - 6}V${base + 10}` }),
    ...beads,
  ];
  return {
    still,
    marks,
    said: windowsSaid(shown, now, joint),
    rows: () => tableOf(rows, shown, metrics, now),
  };
}

function rowMarks(
  { name, found }: Row,
  top: number,
  {
    x,
    x0,
    axis,
    narrow,
    pitch,
  }: {
    readonly x: (ratio: number) => number;
    readonly x0: number;
    readonly axis: number;
    readonly narrow: boolean;
    readonly pitch: number;
  },
): Mark[] {
  const y = top + pitch - (narrow ? 9 : pitch / 2);
  const line = mark('path', { class: 'zero crisp', d: `M${x0} ${Math.round(y) + 0.5}H${x0 + axis}` });
  const text = `${name}, ${found === undefined ? '…' : windowsText(found)}`;
  const bars = (found?.windows ?? []).map(([from, to]) =>
    mark('rect', {
      class: 'box crisp',
      x: round(x(from)),
      y: round(y - BAR / 2),
      width: Math.max(2, round(x(to) - x(from))),
      height: BAR,
    }),
  );
  return [line, ...bars, labelOf(text, found, { x, x0, axis, narrow, y, top })];
}

/** Beside the bar, where more room is; on a phone above it. */
function labelOf(
  text: string,
  found: RequirementWindow | undefined,
  {
    x,
    x0,
    axis,
    narrow,
    y,
    top,
  }: {
    readonly x: (ratio: number) => number;
    readonly x0: number;
    readonly axis: number;
    readonly narrow: boolean;
    readonly y: number;
    readonly top: number;
  },
): Mark {
  const plain = found === undefined || found.windows.length === 0;
  const kind = plain ? 'gap halo' : 'label halo';
  if (narrow) return mark('text', { class: kind, x: x0, y: top + 14 }, text);
  const long = LETTER * text.length;
  const [left, right] = plain ? [x0, x0] : [x(found.windows[0]![0]), x(found.windows.at(-1)![1])];
  const toRight = x0 + axis - right;
  if (plain || (long < toRight + 96 && toRight > left))
    return mark('text', { class: kind, x: round(right + 8), y: y + 4 }, text);
  if (long < left - 8)
    return mark('text', { class: kind, x: round(left - 8), y: y + 4, 'text-anchor': 'end' }, text);
  // neither side has the room: over the bar, from its own beginning
  return mark('text', { class: kind, x: round(Math.max(0, left - 8)), y: y + 4 }, text);
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
