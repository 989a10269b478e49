import type { RatioCandidate, RatioLimit } from '@striderule/engine';
import type { Drawn } from '../draw/instrument.tsx';
import { type Mark, mark, round } from '../draw/mark.ts';
import type { Cell } from '../show/csv.ts';
import { spreadLabels } from '../show/labels.ts';
import { fixed, significant } from '../show/number.ts';
import { knownLines, LEAST, MOST, marginOf, type ScanGround, scanFrame } from './draw-scan-ground.ts';

/** The scan with the ratio under the hand, and the saved one. */
export interface ScanShown extends ScanGround {
  readonly now: RatioCandidate;
  readonly saved: number;
}

/** What moves over the scan: the ratio under the hand on every line, with each margin there. */
export function drawScan(width: number, still: readonly Mark[], shown: ScanShown): Drawn {
  const { scan, now, saved } = shown;
  const { narrow, x0, axis, top, base, x, y } = scanFrame(width);
  const at = Math.round(x(now.ratio)) + 0.5;
  const known = knownLines(scan);
  const readings = known.flatMap(({ line, name }) => {
    const margin = marginOf(now, line);
    return margin === undefined
      ? []
      : [{ line, name, margin, y: Math.min(base - 2, Math.max(top + 4, y(margin))) }];
  });
  const spots = spreadLabels(
    readings.map(({ y: wanted }) => wanted + 4),
    15,
    top + 8,
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
  const marks: Mark[] = [
    ...(saved === now.ratio
      ? []
      : [
          mark('path', { class: 'thin crisp', d: `M${Math.round(x(saved)) + 0.5} ${top}V${base}` }),
          mark('path', { class: 'ghost', d: `M${round(x(saved))} ${base}l-4.5 8h9z` }),
        ]),
    mark('path', { class: 'edge crisp', d: `M${at} ${top - 6}V${base + 10}` }),
    ...beads,
    ...(narrow
      ? []
      : readings.flatMap(({ name, margin }, k) => [
          mark(
            'text',
            { class: margin >= 1 ? 'label' : 'label strong', x: x0 + axis + 8, y: round(spots[k] ?? 0) },
            margin === 0 ? `${name} never` : `${name} ${significant(margin)}`,
          ),
        ])),
  ];
  return { still, marks, said: scanSaid(shown), rows: () => scanRows(shown) };
}

const wordOf = (limit: RatioLimit): string => (limit === 'back-drive' ? 'moving it by hand' : limit);

function scanSaid({ scan, largest, now }: ScanShown): string {
  const { smallest } = scan;
  const window =
    smallest?.candidate === undefined
      ? 'No ratio carries every task.'
      : `Every task is carried from ${fixed(smallest.ratio, 1)}${largest === undefined ? '' : ` to ${fixed(largest, 1)}`} : 1.`;
  const here =
    now.tightest === undefined
      ? ''
      : ` At ${fixed(now.ratio, 1)} the tightest limit is ${wordOf(now.tightest.limit)}, ${significant(now.tightest.margin)} of what is needed, in ${now.tightest.at}.`;
  return `${window}${here}`;
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
