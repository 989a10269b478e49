import type { FaultRow } from '@striderule/engine';
import type { Drawn } from '../draw/instrument.tsx';
import { type Mark, mark, round } from '../draw/mark.ts';
import type { Cell } from '../show/csv.ts';
import { fixed, written } from '../show/number.ts';
import type { SpeedMap } from './speed-maps.ts';
import { drawStrideGround, placeX, rowY, type StrideGrid, strideGrid } from './stride-grid.ts';

export const OUTCOMES = ['survived', 'stumbled', 'fell'] as const;
type Outcome = (typeof OUTCOMES)[number];

export const countOf = ({ trials }: FaultRow, outcome: Outcome): number =>
  trials.filter((trial) => trial.outcome === outcome).length;

/** Right of the axis where a fault is named. */
const RIGHT = 190;
/** From there on what noticed it stands behind its name. */
const NOTICED = 400;

export const faultGrid = (width: number, rows: number, columns: number): StrideGrid =>
  strideGrid(width, { rows, columns, row: 19, narrowRow: 34, lane: 18, right: RIGHT, top: 56 });

/** One outcome in a cell of this middle and half sizes: told apart by shape, and by tone. */
const SHAPES: Readonly<Record<Outcome, (x: number, y: number, w: number, h: number) => string>> = {
  survived: (x, y) => `M${round(x - 1)} ${round(y - 1)}h2v2h-2Z`,
  stumbled: (x, y, w, h) => {
    const [a, b] = [Math.min(w - 1, 4), Math.min(h - 3, 5)];
    return `M${round(x - a)} ${round(y + b)}L${round(x + a)} ${round(y - b)}`;
  },
  fell: (x, y, w, h) =>
    `M${round(x - w + 0.5)} ${round(y - h + 1.5)}h${round(2 * w - 1)}v${round(2 * h - 3)}h${round(1 - 2 * w)}Z`,
};
const LOOKS: Readonly<Record<Outcome, string>> = {
  survived: 'in-thin',
  stumbled: 'curve ankle',
  fell: 'head',
};

/** Faults over the stride, each cell how a fault that begins there ends. */
export function drawFaultMap(
  width: number,
  map: SpeedMap,
  titles: readonly string[],
  columns: number,
): Drawn {
  const grid = faultGrid(width, titles.length, columns);
  const { x0, axis, narrow, row, lane, top } = grid;
  const half = [axis / columns / 2, (row - lane) / 2] as const;
  const paths: Record<Outcome, string> = { survived: '', stumbled: '', fell: '' };
  const names: Mark[] = [];
  const roomy = width - x0 - axis > NOTICED;
  titles.forEach((title, k) => {
    const of = map.faults[k];
    const y = rowY(grid, k) + half[1];
    of?.trials.forEach(({ outcome }, n) => {
      paths[outcome] += SHAPES[outcome](placeX(grid, n) + half[0], y, ...half);
    });
    const by = [...new Set(of?.trials.flatMap(({ noticedBy }) => noticedBy ?? []) ?? [])].join(', ');
    const counts =
      of === undefined || of.trials.length === 0 ? [] : [countOf(of, 'fell'), countOf(of, 'stumbled')];
    if (narrow)
      names.push(
        mark('text', { class: 'label', x: 0, y: y - half[1] - 5 }, title),
        mark(
          'text',
          { class: 'numeral', 'text-anchor': 'end', x: x0 + axis, y: y - half[1] - 5 },
          counts.length > 0 ? `${counts[0]} fell, ${counts[1]} stumbled` : '',
        ),
      );
    else {
      names.push(
        ...counts.map((count, n) =>
          mark(
            'text',
            { class: 'numeral', 'text-anchor': 'end', x: x0 - (n === 0 ? 74 : 14), y: y + 4 },
            String(count),
          ),
        ),
      );
      names.push(
        mark(
          'text',
          { class: 'label', x: x0 + axis + 12, y: y + 4 },
          title,
          ...(roomy && by !== '' ? [mark('tspan', { class: 'unit', dx: 8 }, `noticed by ${by}`)] : []),
        ),
      );
    }
    if (of?.openBecause !== undefined)
      names.push(mark('text', { class: 'gap', x: x0 + 6, y: y + 4 }, `open: ${of.openBecause}`));
  });
  let lines = '';
  for (let k = 1; k < titles.length; k++) lines += `M${x0} ${Math.round(top + k * row) + 0.5}h${axis}`;
  let at = x0;
  const key = OUTCOMES.flatMap((outcome) => {
    const x = at;
    at += 24 + outcome.length * 6.4;
    return [
      mark('path', { class: LOOKS[outcome], d: SHAPES[outcome](x + 5, 14, 6, 8) }),
      mark('text', { class: 'label', x: x + 15, y: 18 }, outcome),
    ];
  });
  return {
    marks: [
      ...drawStrideGround(grid, map.stance),
      mark('path', { class: 'zero crisp', d: lines }),
      ...key,
      ...(narrow
        ? []
        : [
            mark('text', { class: 'numeral', 'text-anchor': 'end', x: x0 - 74, y: top - 9 }, 'fell'),
            mark('text', { class: 'numeral', 'text-anchor': 'end', x: x0 - 14, y: top - 9 }, 'stumbled'),
          ]),
      ...OUTCOMES.map((outcome) => mark('path', { class: LOOKS[outcome], d: paths[outcome] })),
      ...names,
    ],
    said: mapSaid([map]),
    rows: () => mapRows([map]),
  };
}

/** What the maps say, in a sentence. */
export function mapSaid(maps: readonly SpeedMap[]): string {
  const rows = maps.flatMap(({ faults }) => faults);
  const [survived = 0, stumbled = 0, fell = 0] = OUTCOMES.map((outcome) =>
    rows.reduce((sum, row) => sum + countOf(row, outcome), 0),
  );
  const all = survived + stumbled + fell;
  if (all === 0) return 'No fault has been set off yet.';
  const falls = new Map<string, number>();
  for (const row of rows) falls.set(row.title, (falls.get(row.title) ?? 0) + countOf(row, 'fell'));
  const [worst] = [...falls].toSorted((a, b) => b[1] - a[1]);
  const most = worst !== undefined && worst[1] > 0 ? `; most falls: ${worst[0]}, ${worst[1]}` : '';
  const at = maps.map(({ speed }) => `${fixed(speed, 2)} m/s`).join(', ');
  return `At ${at}: of ${all} faults set off ${survived} are survived, ${stumbled} stumble and ${fell} fall${most}.`;
}

/** One trial a row. */
export const mapRows = (maps: readonly SpeedMap[]): Cell[][] => [
  [
    'speed, m/s',
    'fault',
    'begins at, % of the stride',
    'ended',
    'why',
    'after, s',
    'noticed by',
    'most on the bus, V',
  ],
  ...maps.flatMap(({ speed, faults }) =>
    faults.flatMap(({ title, trials }) =>
      trials.map(({ place, outcome, why, after, noticedBy, bus }): Cell[] => [
        written(speed),
        title,
        fixed(100 * place, 0),
        outcome,
        why ?? '',
        after === undefined ? '' : fixed(after, 3),
        noticedBy ?? '',
        fixed(bus, 1),
      ]),
    ),
  ),
];
