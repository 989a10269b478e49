import { type Mark, mark, round } from '../draw/mark.ts';
import { frameFor } from '../rule/frame.ts';
import { fixed } from '../show/number.ts';

/** Rows over the stride, on the rule's own axis, each parted into so many places; px. */
export interface StrideGrid {
  readonly narrow: boolean;
  readonly width: number;
  readonly height: number;
  readonly x0: number;
  readonly axis: number;
  readonly top: number;
  /** From row to row, and of that the lane above it for its name. */
  readonly row: number;
  readonly lane: number;
  readonly rows: number;
  readonly columns: number;
  /** By how much a cell begins before its place. */
  readonly before: number;
}

const FOOT = 34;

export function strideGrid(
  available: number,
  {
    rows,
    columns,
    row,
    narrowRow,
    lane,
    right,
    top,
  }: Record<'rows' | 'columns' | 'row' | 'narrowRow' | 'lane' | 'right' | 'top', number>,
): StrideGrid {
  const frame = frameFor(available, [], false);
  const { narrow, x0 } = frame;
  // names at the right end want more room than the rule's
  const axis = narrow ? frame.axis : Math.min(frame.axis, Math.floor((available - x0 - right) / 50) * 50);
  const each = narrow ? narrowRow : row;
  return {
    ...{ narrow, width: available, x0, axis, top, rows, columns, before: 0 },
    row: each,
    lane: narrow ? lane : 0,
    height: top + rows * each + FOOT,
  };
}

/** Left end of a place, and its middle across. */
export const placeX = ({ x0, axis, columns, before }: StrideGrid, column: number): number =>
  x0 - before + (axis * column) / columns;
export const rowY = ({ top, row, lane }: StrideGrid, index: number): number => top + index * row + lane;

/** Row and column under a point; undefined outside. */
export function cellAt(
  grid: StrideGrid,
  x: number,
  y: number,
): readonly [row: number, column: number] | undefined {
  const [row, column] = [
    Math.floor((y - grid.top) / grid.row),
    Math.floor(((x - grid.x0 + grid.before) / grid.axis) * grid.columns),
  ];
  return row >= 0 && row < grid.rows && column >= 0 && column < grid.columns ? [row, column] : undefined;
}

/** Stance and swing behind the rows, and the stride's ticks below them. */
export function drawStrideGround(grid: StrideGrid, stance: number | undefined): Mark[] {
  const { narrow, x0, axis, top, rows, row } = grid;
  const foot = top + rows * row;
  let ticks = '';
  const numerals: Mark[] = [];
  for (let percent = 0; percent <= 100; percent += narrow ? 2 : 1) {
    const x = Math.round(x0 + (axis * percent) / 100) + 0.5;
    ticks += `M${x} ${foot + 0.5}v${percent % 10 === 0 ? 10 : percent % 5 === 0 ? 7 : 4}`;
    if (percent % (narrow ? 20 : 10) === 0)
      numerals.push(
        mark(
          'text',
          {
            class: 'numeral',
            'text-anchor': percent === 100 && narrow ? 'end' : percent === 0 && narrow ? 'start' : 'middle',
            x,
            y: foot + 23,
          },
          String(percent),
        ),
      );
  }
  return [
    ...(stance === undefined ? [] : phases(grid, stance)),
    mark('path', { class: 'tick0 crisp', d: ticks }),
    ...numerals,
    ...(narrow ? [] : [mark('text', { class: 'unit', x: 0, y: foot + 23 }, 'Stride, %')]),
    mark('path', {
      class: 'edge crisp',
      d: `M${x0 + 0.5} ${top}V${foot + 10}M${round(x0 + axis) + 0.5} ${top}V${foot + 10}M${x0} ${top - 0.5}H${x0 + axis + 1}`,
    }),
  ];
}

/** The tints of the ground, and their names. */
const phases = ({ narrow, x0, axis, top, rows, row }: StrideGrid, stance: number): Mark[] => [
  mark('rect', {
    class: 'ground crisp',
    x: x0,
    y: top,
    width: Math.round(stance * axis),
    height: rows * row,
  }),
  mark(
    'text',
    { class: 'numeral', x: x0 + 2, y: top - 9 },
    narrow ? 'stance' : `stance ${fixed(100 * stance, 0)} %`,
  ),
  mark(
    'text',
    { class: 'numeral', 'text-anchor': 'end', x: x0 + axis - 1, y: top - 9 },
    narrow ? 'swing' : `swing ${fixed(100 * (1 - stance), 0)} %`,
  ),
];
