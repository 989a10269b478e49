import { type PowerCut, powerCutVerdict } from '@striderule/engine';
import type { Drawn } from '../draw/instrument.tsx';
import { type Mark, mark, round } from '../draw/mark.ts';
import type { Cell } from '../show/csv.ts';
import { fixed, GAP, written } from '../show/number.ts';
import { limitsOf, numerals } from '../show/ticks.ts';
import { degrees } from '../show/unit.ts';
import { drawStrideGround, rowY, type StrideGrid, strideGrid } from './stride-grid.ts';

/** The cuts so far in their order, and the share of the stride in stance. */
export interface Cuts {
  readonly cuts: readonly PowerCut[];
  readonly stance?: number;
}

/** One figure of a cut over the stride: what came of it, and the same walk with power. */
interface Band {
  readonly name: string;
  readonly unit: string;
  readonly tone: 'knee' | 'hip' | 'force';
  readonly lost: readonly { readonly label: string; readonly of: (cut: PowerCut) => number }[];
  readonly powered?: (cut: PowerCut) => number;
}

const NONE = Number.NaN;
const BANDS: readonly Band[] = [
  {
    ...{ name: 'Knee', unit: '° flexion', tone: 'knee' },
    lost: [
      { label: 'bends to, before toe-off', of: ({ bends = NONE }) => degrees(bends) },
      { label: 'lands at', of: ({ lands = NONE }) => degrees(lands) },
    ],
    powered: ({ poweredLands = NONE }) => degrees(poweredLands),
  },
  {
    ...{ name: 'Time to 60°', unit: 's of knee flexion', tone: 'knee' },
    lost: [{ label: 'after the cut', of: ({ toSixty }) => toSixty }],
    powered: ({ poweredToSixty }) => poweredToSixty,
  },
  {
    ...{ name: 'Hip sinks', unit: 'mm', tone: 'hip' },
    lost: [{ label: 'below its lowest with power', of: ({ sinks }) => 1e3 * sinks }],
  },
  {
    ...{ name: 'Goes on for', unit: 's', tone: 'force' },
    lost: [{ label: 'until it falls', of: ({ fell }) => fell?.after ?? NONE }],
  },
];

const ROW = 90;
/** Right of the axis where curves are named. */
const RIGHT = 96;

export const CUT_COLUMNS = 20;

export const cutsGrid = (width: number): StrideGrid =>
  strideGrid(width, {
    ...{ rows: BANDS.length, columns: CUT_COLUMNS, row: ROW, narrowRow: ROW + 14, lane: 0 },
    ...{ right: RIGHT, top: 44 },
  });

/** The same as one row of places, each in the middle of its cell. */
export function cutsKnob(width: number): StrideGrid {
  const grid = cutsGrid(width);
  return { ...grid, rows: 1, row: grid.rows * grid.row, before: grid.axis / CUT_COLUMNS / 2 };
}

/** What comes of power lost at each part of the stride. */
export function drawCuts(width: number, { cuts, stance }: Cuts): Drawn {
  const grid = cutsGrid(width);
  const { x0, axis, narrow, row, top } = grid;
  const x = (cut: PowerCut): number => x0 + axis * cut.place;
  const marks: Mark[] = [...drawStrideGround(grid, stance)];
  BANDS.forEach(({ name, unit, tone, lost, powered }, k) => {
    const foot = rowY(grid, k) + row;
    // the names of the curves stand over the highest of them
    const named = foot - row + (narrow ? 28 : 14);
    const [y1, y2] = [named + 8, foot - 8];
    const curves = [...lost.map(({ of }) => of), ...(powered === undefined ? [] : [powered])].map((of) =>
      cuts.map(of),
    );
    const { low, high } = limitsOf([0, ...curves.flat()]);
    const y = (value: number): number => y2 - ((value - low) / (high - low)) * (y2 - y1);
    if (k > 0)
      marks.push(
        mark('path', { class: 'seam crisp', d: `M${x0} ${Math.round(top + k * row) + 0.5}h${axis}` }),
      );
    marks.push(
      mark(
        'text',
        { class: 'name', x: narrow ? x0 + 4 : 0, y: foot - row + (narrow ? 14 : 30) },
        name,
        ...(narrow ? [mark('tspan', { class: 'unit', dx: 6, 'font-weight': 400 }, unit)] : []),
      ),
      ...(narrow ? [] : [mark('text', { class: 'unit', x: 0, y: foot - row + 46 }, unit)]),
    );
    if (cuts.length === 0) return;
    for (const value of numerals(low, high, narrow ? 2 : 4)) {
      const line = Math.round(y(value)) + 0.5;
      marks.push(
        mark(
          'text',
          narrow
            ? { class: 'numeral halo', x: x0 + 4, y: line + 3.5 }
            : { class: 'numeral', 'text-anchor': 'end', x: x0 - axis / CUT_COLUMNS / 2 - 5, y: line + 3.5 },
          written(value),
        ),
        mark('path', { class: 'tick2 crisp', d: `M${x0 - 4} ${line}h4` }),
      );
      if (value === 0) marks.push(mark('path', { class: 'zero crisp', d: `M${x0} ${line}h${axis}` }));
    }
    const points = (values: readonly number[]) =>
      cuts.flatMap((cut, n) => {
        const value = values[n] ?? NONE;
        return Number.isFinite(value) ? [[x(cut), y(value), n] as const] : [];
      });
    const own = points(curves.at(-1) ?? []);
    if (powered !== undefined) {
      marks.push(...own.map(([a, b]) => mark('circle', { class: 'pin', cx: round(a), cy: round(b), r: 3 })));
      const last = own.at(-1);
      if (last !== undefined && !(narrow && k > 0))
        marks.push(
          mark(
            'text',
            narrow
              ? { class: 'label in-thin halo', 'text-anchor': 'end', x: x0 + axis - 4, y: round(last[1] - 8) }
              : { class: 'label in-thin', x: x0 + axis + 12, y: round(last[1] + 4) },
            'with power',
          ),
        );
    }
    lost.forEach(({ label }, n) => {
      const of = points(curves[n] ?? []);
      // no line over places that have no number
      const d = of
        .map(([a, b, at], i) => `${of[i - 1]?.[2] === at - 1 ? 'L' : 'M'}${round(a)} ${round(b)}`)
        .join('');
      marks.push(
        mark('path', { class: `curve ${tone}`, d }),
        ...of.map(([a, b]) =>
          mark('path', { class: `in-${tone}`, d: `M${round(a - 3)} ${round(b - 3)}h6v6h-6Z` }),
        ),
      );
      // named where its line begins, or its only point
      const first = of.find(([, , at], i) => of[i + 1]?.[2] === at + 1) ?? of[0];
      if (first !== undefined)
        marks.push(
          mark(
            'text',
            {
              class: `label in-${tone} strong halo`,
              // on a phone the numerals stand within
              x: Math.min(round(first[0] + (narrow ? 28 : 6)), x0 + axis - 150),
              y: Math.max(named, round(first[1] - 9)),
            },
            label,
          ),
        );
    });
  });
  return {
    marks,
    said: cuts.length === 0 ? 'Power has not been lost yet.' : powerCutVerdict(cuts),
    rows: () => cutRows(cuts),
  };
}

const whole = (radians: number | undefined): string =>
  radians === undefined ? GAP : fixed(degrees(radians), 0);

/** One cut in words. */
export function cutSaid(cut: PowerCut): string {
  const { stance, knee, bends, lands, poweredLands, toSixty, poweredToSixty, sinks, fell } = cut;
  const sixty = (time: number): string => (Number.isNaN(time) ? 'not reached' : `${fixed(time, 2)} s`);
  return [
    `in ${stance ? 'stance' : 'swing'}, the knee at ${whole(knee)}°`,
    ...(bends === undefined ? [] : [`it bends to ${whole(bends)}° before toe-off`]),
    ...(lands === undefined
      ? []
      : [
          Number.isNaN(lands)
            ? 'it does not land'
            : `it lands at ${whole(lands)}°, with power at ${whole(poweredLands)}°`,
        ]),
    `60° of flexion ${sixty(toSixty)}, with power ${sixty(poweredToSixty)}`,
    `the hip sinks ${fixed(1e3 * sinks, 0)} mm`,
    fell === undefined ? 'it stands' : `${fell.why} after ${fixed(fell.after, 1)} s`,
  ].join('; ');
}

const cutRows = (cuts: readonly PowerCut[]): Cell[][] => [
  [
    ...[
      'lost at, % of the stride',
      'in',
      'knee then, °',
      'bends to, ° in stance',
      'to 60°, s',
      'to 60° with power, s',
    ],
    ...['lands at, ° knee', 'lands with power, ° knee', 'hip sinks, mm', 'then'],
  ],
  ...cuts.map((cut): Cell[] => [
    fixed(100 * cut.place, 0),
    cut.stance ? 'stance' : 'swing',
    whole(cut.knee),
    whole(cut.bends),
    fixed(cut.toSixty, 2),
    fixed(cut.poweredToSixty, 2),
    whole(cut.lands),
    whole(cut.poweredLands),
    fixed(1e3 * cut.sinks, 0),
    cut.fell === undefined ? 'stands' : `${cut.fell.why} after ${fixed(cut.fell.after, 1)} s`,
  ]),
];
