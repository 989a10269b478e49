import type { RatioCandidate, RatioLimit, RatioScan } from '@striderule/engine';
import { type Mark, mark, round } from '../draw/mark.ts';
import { fixed } from '../show/number.ts';
import { engraved } from './draw-slide.ts';
import { type LogScale, logAt } from './log-scale.ts';
import { slideFrame } from './slide-frame.ts';

/** The scan of one joint: what does not move with the ratio. */
export interface ScanGround {
  readonly scan: RatioScan;
  /** Where the ratios that carry end; undefined where none does. */
  readonly largest: number | undefined;
}

/** By dash as well as by place: no two lines are told apart by colour alone. */
const LINES: readonly { readonly line: RatioLimit; readonly name: string; readonly style: string }[] = [
  { line: 'torque', name: 'torque', style: 'curve ink' },
  { line: 'speed', name: 'speed', style: 'curve ink dash-a' },
  { line: 'back-drive', name: 'by hand', style: 'curve ink dash-ankle' },
  { line: 'gears', name: 'gears', style: 'curve ink dash-b' },
];

/** Limit ÷ need, from a quarter to four: what lies beyond runs out of the field. Our choice. */
export const LEAST = 0.25;
export const MOST = 4;
const TOP = 46;
const FIELD = 196;
export const SCAN_HEIGHT = TOP + FIELD + 44;

export const marginOf = ({ least }: RatioCandidate, line: RatioLimit): number | undefined =>
  least[line]?.margin;

/** Where the scan's parts stand, px: its ratio scale is the slide's. */
export function scanFrame(width: number) {
  const { narrow, x0, axis, ratio: scale } = slideFrame(width, []);
  const base = TOP + FIELD;
  const field: LogScale = { low: LEAST, decade: FIELD / Math.log10(MOST / LEAST), length: FIELD };
  return {
    narrow,
    x0,
    axis,
    scale,
    top: TOP,
    base,
    x: (ratio: number) => x0 + logAt(scale, ratio),
    y: (margin: number) => base - logAt(field, margin),
  };
}

/** Every ratio looked at, the smallest that carries among them. */
const allOf = ({ candidates, smallest }: RatioScan): RatioCandidate[] =>
  [...candidates, ...(smallest?.candidate === undefined ? [] : [smallest.candidate])].sort(
    (a, b) => a.ratio - b.ratio,
  );

/** Lines of which something is known. */
export const knownLines = (scan: RatioScan): typeof LINES =>
  LINES.filter(({ line }) => scan.candidates.some((candidate) => (marginOf(candidate, line) ?? 0) > 0));

/** Every limit's least margin over the ratio, on the slide's scale; heavy the least of them, shaded where every task is carried. */
export function drawScanGround(width: number, { scan, largest }: ScanGround): Mark[] {
  const { narrow, x0, axis, scale, base, x, y } = scanFrame(width);
  const all = allOf(scan);
  const path = (of: (candidate: RatioCandidate) => number | undefined): string => {
    let d = '';
    for (const candidate of all) {
      const margin = of(candidate);
      // nothing known, or run away: the line ends rather than falls to zero
      if (margin === undefined || !(margin > 0)) continue;
      d += `${d === '' ? 'M' : 'L'}${round(x(candidate.ratio))} ${round(Math.max(TOP - 900, Math.min(base + 900, y(margin))))}`;
    }
    return d;
  };
  const level = (margin: number) => Math.round(y(margin)) + 0.5;
  const smallest = scan.smallest?.candidate?.ratio;
  const ground: Mark[] = [];
  if (smallest !== undefined && largest !== undefined) {
    const [from, to] = [round(x(smallest)), round(Math.max(x(largest), x(smallest) + 1))];
    ground.push(
      mark('rect', { class: 'ground crisp', x: from, y: TOP, width: round(to - from), height: FIELD }),
      mark('path', { class: 'edge crisp', d: `M${Math.round(from) + 0.5} ${TOP - 6}V${base}` }),
      mark('path', { class: 'reach', d: `M${from} ${TOP - 4.5}H${to}` }),
      mark(
        'text',
        { class: 'label strong halo', x: from, y: TOP - 12, 'text-anchor': narrow ? 'middle' : 'start' },
        `${fixed(smallest, 1)} to ${fixed(largest, 1)} carries every task`,
      ),
    );
  }
  const grid = [0.25, 0.5, 2, 4].flatMap((margin) => [
    mark('path', { class: 'zero crisp', d: `M${x0} ${level(margin)}H${x0 + axis}` }),
  ]);
  const numerals = [0.25, 0.5, 1, 2, 4].map((margin) =>
    mark(
      'text',
      {
        class: 'numeral halo',
        'text-anchor': narrow ? 'start' : 'end',
        x: narrow ? x0 + 3 : x0 - 9,
        y: level(margin) + (narrow ? -3 : 4),
      },
      margin === 0.25 ? '¼' : margin === 0.5 ? '½' : String(margin),
    ),
  );
  const names = narrow
    ? [
        mark(
          'text',
          { class: 'name', x: x0, y: 12 },
          'Limit ÷ need',
          mark('tspan', { class: 'unit', dx: 5, 'font-weight': 400 }, 'worst task, over the ratio'),
        ),
      ]
    : [
        mark('text', { class: 'name', x: 0, y: TOP + 14 }, 'Limit ÷ need'),
        mark('text', { class: 'unit', x: 0, y: TOP + 30 }, 'of the worst task,'),
        mark('text', { class: 'unit', x: 0, y: TOP + 45 }, 'over the ratio;'),
        mark('text', { class: 'unit', x: 0, y: TOP + 60 }, 'the bus sags'),
        mark('text', { class: 'label', x: 0, y: level(1) - 8 }, 'above 1: carried'),
        mark('text', { class: 'label', x: 0, y: level(1) + 16 }, 'below: not carried'),
        mark('text', { class: 'unit', x: 0, y: base + 20 }, 'Ratio, motor : joint'),
      ];
  const known = knownLines(scan);
  const window = mark(
    'svg',
    { class: 'clip', x: x0, y: TOP, width: axis, height: FIELD, viewBox: `${x0} ${TOP} ${axis} ${FIELD}` },
    mark('path', { class: 'curve ghost-line heavy', d: path(({ tightest }) => tightest?.margin) }),
    ...known.map(({ line, style }) =>
      mark('path', { class: style, d: path((candidate) => marginOf(candidate, line)) }),
    ),
  );
  return [
    ...ground,
    ...grid,
    ...names,
    ...engraved(scale, x0, base, false),
    window,
    mark('path', { class: 'edge crisp', d: `M${x0} ${level(1)}H${x0 + axis + 1}` }),
    ...numerals,
    mark('path', {
      class: 'seam crisp',
      d: `M${x0 + 0.5} ${TOP}V${base + 0.5}H${x0 + axis + 0.5}V${TOP}`,
    }),
    ...namesOnLines(known, all, x, y, base, narrow),
  ];
}

/** Each line's name where it runs free inside the field: at an own share of its way. */
function namesOnLines(
  known: typeof LINES,
  all: readonly RatioCandidate[],
  x: (ratio: number) => number,
  y: (margin: number) => number,
  base: number,
  narrow: boolean,
): Mark[] {
  return known.flatMap(({ line, name }) => {
    const inside = all.filter((candidate) => {
      const margin = marginOf(candidate, line);
      return margin !== undefined && y(margin) > TOP + 12 && y(margin) < base - 10;
    });
    // rising lines are named low on the left, falling ones high on the left, where they stand apart
    const spot = inside[Math.floor(inside.length * (narrow ? 0.25 : 0.15))];
    return spot === undefined
      ? []
      : [
          mark(
            'text',
            {
              class: 'label halo',
              x: round(x(spot.ratio)) + 7,
              y: round(y(marginOf(spot, line) ?? 1)) + (line === 'torque' ? 12 : -5),
            },
            name,
          ),
        ];
  });
}
