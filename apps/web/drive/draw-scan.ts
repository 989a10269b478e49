import type { RatioCandidate, RatioFact, RatioLimit, RatioScan } from '@striderule/engine';
import type { Drawn } from '../draw/instrument.tsx';
import { type Mark, mark, round } from '../draw/mark.ts';
import type { Cell } from '../show/csv.ts';
import { spreadLabels } from '../show/labels.ts';
import { fixed, significant } from '../show/number.ts';
import { engraved } from './draw-slide.ts';
import { type LogScale, logAt } from './log-scale.ts';
import { slideFrame } from './slide-frame.ts';

/** The scan of one joint, and where it stands on the slide's own scale. */
export interface ScanShown {
  readonly scan: RatioScan;
  /** Where the ratios that carry end; undefined where none does. */
  readonly largest: number | undefined;
  readonly fact: RatioFact | undefined;
  /** The ratio under the hand, and the saved one. */
  readonly now: RatioCandidate;
  readonly saved: number;
}

type Line = RatioLimit | 'winding';

/** By dash as well as by place: no two lines are told apart by colour alone. */
const LINES: readonly { readonly line: Line; readonly name: string; readonly style: string }[] = [
  { line: 'torque', name: 'torque', style: 'curve ink' },
  { line: 'speed', name: 'speed', style: 'curve ink dash-a' },
  { line: 'back-drive', name: 'by hand', style: 'curve ink dash-ankle' },
  { line: 'gears', name: 'gears', style: 'curve ink dash-b' },
  { line: 'winding', name: 'winding', style: 'thin' },
];

/** Limit ÷ need, from a quarter to four: what lies beyond runs out of the field. Our choice. */
const LEAST = 0.25;
const MOST = 4;
const TOP = 46;
const FIELD = 196;
export const SCAN_HEIGHT = TOP + FIELD + 44;

const marginOf = ({ least, winding }: RatioCandidate, line: Line): number | undefined =>
  line === 'winding' ? winding?.margin : least[line]?.margin;

/** Every limit's least margin over the ratio, on the slide's scale; bold where the least of them is, shaded where every task is carried. */
export function drawScan(width: number, shown: ScanShown): Drawn {
  const { scan, largest, fact, now, saved } = shown;
  const { narrow, x0, axis, ratio: scale } = slideFrame(width, []);
  const base = TOP + FIELD;
  const x = (ratio: number) => x0 + logAt(scale, ratio);
  const field: LogScale = { low: LEAST, decade: FIELD / Math.log10(MOST / LEAST), length: FIELD };
  const y = (margin: number) => base - logAt(field, margin);
  const all = [
    ...scan.candidates,
    ...(scan.smallest?.candidate === undefined ? [] : [scan.smallest.candidate]),
  ].sort((a, b) => a.ratio - b.ratio);
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
  const at = Math.round(x(now.ratio)) + 0.5;
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
        mark('text', { class: 'unit', x: 0, y: TOP + 45 }, 'over the ratio'),
        mark('text', { class: 'label', x: 0, y: level(1) - 8 }, 'above 1: carried'),
        mark('text', { class: 'label', x: 0, y: level(1) + 16 }, 'below: not carried'),
        mark('text', { class: 'unit', x: 0, y: base + 20 }, 'Ratio, motor : joint'),
      ];
  const known = LINES.filter(({ line }) => all.some((candidate) => (marginOf(candidate, line) ?? 0) > 0));
  const window = mark(
    'svg',
    { class: 'clip', x: x0, y: TOP, width: axis, height: FIELD, viewBox: `${x0} ${TOP} ${axis} ${FIELD}` },
    ...known.map(({ line, style }) =>
      mark('path', { class: style, d: path((candidate) => marginOf(candidate, line)) }),
    ),
  );
  const readings = known.flatMap(({ line, name }) => {
    const margin = marginOf(now, line);
    return margin === undefined
      ? []
      : [{ line, name, margin, y: Math.min(base - 2, Math.max(TOP + 4, y(margin))) }];
  });
  const spots = spreadLabels(
    readings.map(({ y: wanted }) => wanted + 4),
    15,
    TOP + 8,
    base,
  );
  const beads = readings.map(({ margin, y: spot }) =>
    mark('circle', {
      class: margin >= 1 ? 'pin' : 'lack',
      cx: at,
      cy: round(spot),
      r: margin > LEAST && margin < MOST ? 3.5 : 0,
    }),
  );
  const optimum = fact === undefined || fact.optimum > 200 || fact.optimum < 2 ? undefined : fact.optimum;
  const marks: Mark[] = [
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
    ...(optimum === undefined
      ? []
      : [
          mark('path', { class: 'limit', d: `M${Math.round(x(optimum)) + 0.5} ${TOP}V${base}` }),
          mark(
            'text',
            { class: 'label halo', x: round(x(optimum)) - 5, y: base - 20, 'text-anchor': 'end' },
            `least rms torque ${significant(optimum)}`,
          ),
          mark(
            'text',
            { class: 'unit halo', x: round(x(optimum)) - 5, y: base - 6, 'text-anchor': 'end' },
            narrow ? 'not the choice' : 'friction left out: not the choice',
          ),
        ]),
    ...(saved === now.ratio
      ? []
      : [
          mark('path', { class: 'thin crisp', d: `M${Math.round(x(saved)) + 0.5} ${TOP}V${base}` }),
          mark('path', { class: 'ghost', d: `M${round(x(saved))} ${base}l-4.5 8h9z` }),
        ]),
    mark('path', { class: 'edge crisp', d: `M${at} ${TOP - 6}V${base + 10}` }),
    ...beads,
    ...(narrow
      ? []
      : readings.flatMap(({ name, margin }, k) => [
          mark(
            'text',
            { class: margin >= 1 ? 'label' : 'label strong', x: x0 + axis + 8, y: round(spots[k] ?? 0) },
            margin === 0 ? `${name} runs away` : `${name} ${significant(margin)}`,
          ),
        ])),
    ...namesOnLines(known, all, x, y, base, narrow),
  ];
  return { marks, said: scanSaid(shown), rows: scanRows(shown) };
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
    const spot = inside[Math.floor(inside.length * (line === 'winding' ? 0.8 : narrow ? 0.25 : 0.15))];
    if (spot === undefined) return [];
    const end = line === 'winding' && narrow;
    return [
      mark(
        'text',
        {
          class: `${line === 'winding' ? 'label in-thin' : 'label'} halo`,
          'text-anchor': end ? 'end' : 'start',
          x: round(x(spot.ratio)) + (end ? 30 : 7),
          y: round(y(marginOf(spot, line) ?? 1)) + (line === 'torque' ? 12 : -5),
        },
        line === 'winding' ? 'winding, for ever' : name,
      ),
    ];
  });
}

const wordOf = (limit: RatioLimit): string => (limit === 'back-drive' ? 'moving it by hand' : limit);

function scanSaid({ scan, largest, fact, now }: ScanShown): string {
  const { smallest } = scan;
  const window =
    smallest?.candidate === undefined
      ? 'No ratio carries every task.'
      : `Every task is carried from ${fixed(smallest.ratio, 1)}${largest === undefined ? '' : ` to ${fixed(largest, 1)}`} : 1.`;
  const here =
    now.tightest === undefined
      ? ''
      : ` At ${fixed(now.ratio, 1)} the tightest limit is ${wordOf(now.tightest.limit)}, ${significant(now.tightest.margin)} of what is needed, in ${now.tightest.at}.`;
  return `${window}${here}${fact === undefined ? '' : ` Least rms torque, friction left out, lies at ${significant(fact.optimum)} : 1.`}`;
}

function scanRows({ scan, now }: ScanShown): Cell[][] {
  const exact = scan.smallest?.candidate;
  const rows = [...scan.candidates, ...(exact === undefined ? [] : [exact]), now].sort(
    (a, b) => a.ratio - b.ratio,
  );
  return [
    [
      'ratio',
      'carries',
      'limit ÷ need',
      'tightest',
      'in',
      'torque',
      'speed',
      'gears',
      'by hand',
      'winding, for ever',
      'breakaway, N·m',
      'inertia, kg·m²',
      'copper, W',
      'least bus, V',
    ],
    ...rows
      .filter(({ ratio }, k) => ratio !== rows[k - 1]?.ratio)
      .map((c): Cell[] => [
        Number(c.ratio.toPrecision(4)),
        c.tightest === undefined ? 'not known' : c.carries ? (c === exact ? 'yes, smallest' : 'yes') : 'no',
        c.tightest?.margin,
        c.tightest?.limit,
        c.tightest?.at,
        c.least.torque?.margin,
        c.least.speed?.margin,
        c.least.gears?.margin,
        c.least['back-drive']?.margin,
        c.winding === undefined ? null : c.winding.margin === 0 ? 'runs away' : c.winding.margin,
        c.costs.breakaway,
        c.costs.reflectedInertia,
        c.costs.copper,
        c.costs.busVoltage,
      ]),
  ];
}
