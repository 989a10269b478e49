import { type Mark, mark, round } from '../draw/mark.ts';
import { engraved } from '../drive/draw-slide.ts';
import { type LogScale, logAt } from '../drive/log-scale.ts';
import type { Cell } from '../show/csv.ts';
import { spreadLabels } from '../show/labels.ts';
import { written } from '../show/number.ts';
import { numerals } from '../show/ticks.ts';

/** One curve of a field. */
export interface FieldCurve {
  readonly label: string;
  /** Class of the drawing. */
  readonly look: string;
  readonly ink: string;
  readonly values: readonly number[];
}

/** One quantity over the common scale; what passes its ends is cut there, and said. */
export interface Field {
  readonly name: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
  readonly curves: readonly FieldCurve[];
  /** Tinted from, to. */
  readonly band?: readonly [number, number];
  readonly lines: readonly { readonly value: number; readonly label: string }[];
  /** At a place of the common scale, from one value to another: a bracket. */
  readonly spans?: readonly { readonly value: number; readonly from: number; readonly to: number }[];
}

/** Quantities stacked over one logarithmic scale. */
export interface Fields {
  readonly at: readonly number[];
  readonly low: number;
  readonly high: number;
  readonly along: string;
  readonly fields: readonly Field[];
  /** Places on the common scale that are named, and drawn through every field. */
  readonly places: readonly { readonly value: number; readonly label: string }[];
}

/** px */
export interface FieldsFrame {
  readonly narrow: boolean;
  readonly width: number;
  readonly height: number;
  readonly x0: number;
  readonly axis: number;
  readonly top: number;
  readonly band: number;
}

const FOOT = 58;
/** px of a letter of a label, about. */
const LETTER = 5.8;

export function fieldsFrame(available: number, fields: number, band: number): FieldsFrame {
  const narrow = available < 560;
  const [x0, right] = narrow ? [42, 12] : [56, 132];
  const top = narrow ? 50 : 22;
  return {
    ...{ narrow, width: available, x0, axis: available - x0 - right, top, band },
    height: top + fields * band + FOOT,
  };
}

/** A curve, broken where there is no number. */
function path(
  x: (value: number) => number,
  y: (value: number) => number,
  at: readonly number[],
  values: readonly number[],
): string {
  let d = '';
  let broken = true;
  values.forEach((value, k) => {
    if (!Number.isFinite(value)) {
      broken = true;
      return;
    }
    d += `${broken ? 'M' : 'L'}${round(x(at[k] ?? 1))} ${round(y(value))}`;
    broken = false;
  });
  return d;
}

export function drawFields(frame: FieldsFrame, { at, low, high, along, fields, places }: Fields): Mark[] {
  const { x0, axis, top, band, narrow } = frame;
  const scale: LogScale = { low, decade: axis / Math.log10(high / low), length: axis };
  const x = (value: number) => x0 + logAt(scale, value);
  const foot = top + fields.length * band;
  const marks: Mark[] = [];
  const names: Mark[] = [];
  fields.forEach((field, k) => {
    const [y1, y2] = [top + k * band + 20, top + (k + 1) * band - 8];
    const y = (value: number) => y2 - ((value - field.low) / (field.high - field.low)) * (y2 - y1);
    names.push(
      mark(
        'text',
        { class: 'name halo', x: narrow ? 0 : x0, y: y1 - 8 },
        field.name,
        mark('tspan', { class: 'unit', dx: 6, 'font-weight': 400 }, field.unit),
      ),
    );
    const cut: Mark[] = [];
    if (field.band !== undefined) {
      const [from, to] = field.band;
      cut.push(
        mark('rect', {
          class: 'box',
          x: x0,
          y: round(y(to)),
          width: axis,
          height: round(y(from) - y(to)),
        }),
      );
    }
    for (const value of numerals(field.low, field.high, 5)) {
      const line = Math.round(y(value)) + 0.5;
      if (Math.abs(value) < 1e-9)
        marks.push(mark('path', { class: 'zero crisp', d: `M${x0} ${line}H${x0 + axis}` }));
      marks.push(
        mark('text', { class: 'numeral', 'text-anchor': 'end', x: x0 - 9, y: line + 3.5 }, written(value)),
        mark('path', { class: 'tick2 crisp', d: `M${x0 - 5} ${line}H${x0}` }),
      );
    }
    for (const { value } of field.lines)
      if (value >= field.low && value <= field.high)
        marks.push(mark('path', { class: 'limit', d: `M${x0} ${Math.round(y(value)) + 0.5}H${x0 + axis}` }));
    for (const curve of field.curves)
      cut.push(mark('path', { class: curve.look, d: path(x, y, at, curve.values) }));
    for (const { value, from, to } of field.spans ?? []) {
      const [at, a, b] = [Math.round(x(value)) + 0.5, round(y(from)), round(y(to))];
      cut.push(mark('path', { class: 'reach', d: `M${at} ${a}V${b}M${at - 5} ${a}h10M${at - 5} ${b}h10` }));
    }
    const out = field.curves.some(({ values }) =>
      values.some((value) => Number.isFinite(value) && (value > field.high || value < field.low)),
    );
    const [width, height] = [axis + 1, y2 - y1 + 4];
    marks.push(
      mark(
        'svg',
        { class: 'clip', x: x0, y: y1 - 2, width, height, viewBox: `${x0} ${y1 - 2} ${width} ${height}` },
        ...cut,
      ),
      mark('path', {
        class: 'seam crisp',
        d: `M${x0 + 0.5} ${y1 - 2}V${y2 + 2.5}H${x0 + axis}`,
      }),
    );
    if (out) marks.push(mark('text', { class: 'gap halo', x: x0 + 6, y: y2 - 4 }, 'beyond scale'));
    // names stand at the curves' last point inside the field, and lines at the end
    const ends = [
      ...field.curves.flatMap(({ label, ink, values }) => {
        const last = values.findLastIndex(
          (value) => Number.isFinite(value) && value >= field.low && value <= field.high,
        );
        return label === '' || last < 0
          ? []
          : [{ label, ink, x: x(at[last] ?? 1), y: y(values[last] ?? 0), strong: true }];
      }),
      ...field.lines
        .filter(({ label, value }) => label !== '' && value >= field.low && value <= field.high)
        .map(({ label, value }) => ({ label, ink: '', x: x0 + axis, y: y(value), strong: false })),
    ];
    const spots = spreadLabels(
      ends.map((end) => end.y),
      13,
      y1 + 4,
      y2 - 2,
    );
    ends.forEach((end, n) => {
      const spot = spots[n] ?? end.y;
      if (!narrow)
        marks.push(
          mark('path', {
            class: 'leader',
            d: `M${round(end.x + 2)} ${round(end.y)}L${x0 + axis + 10} ${round(spot)}`,
          }),
        );
      marks.push(
        mark(
          'text',
          {
            class: `label ${end.ink}${end.strong ? ' strong' : ''}${narrow ? ' halo' : ''}`,
            x: narrow ? x0 + axis - 4 : x0 + axis + 13,
            y: round(spot + 4),
            ...(narrow && { 'text-anchor': 'end' }),
          },
          end.label,
        ),
      );
    });
  });
  marks.push(
    ...engraved(scale, x0, foot, false),
    mark('path', { class: 'seam crisp', d: `M${x0} ${foot + 0.5}H${x0 + axis}` }),
    mark('text', { class: 'unit', 'text-anchor': 'middle', x: x0 + axis / 2, y: foot + 42 }, along),
  );
  const shown = places
    .filter(({ value }) => value >= low && value <= high)
    .toSorted((a, b) => a.value - b.value);
  // ends of the labels in each line, the lowest first: one that has no room stands a line higher
  const taken: number[] = [];
  shown.forEach(({ value, label }, k) => {
    const at = Math.round(x(value)) + 0.5;
    // beside its line on the right, but for where the next line or the edge leaves no room
    const end = Math.min(x(shown[k + 1]?.value ?? Number.POSITIVE_INFINITY), frame.width) - at;
    const left = end < 12 + LETTER * label.length;
    const from = left ? at - 5 - LETTER * label.length : at + 5;
    const line = taken.findIndex((to) => to < from);
    const n = line < 0 ? taken.length : line;
    taken[n] = from + LETTER * label.length;
    marks.push(
      mark('path', { class: 'edge crisp', d: `M${at} ${top - (narrow ? 20 : 6)}V${foot + 4}` }),
      mark(
        'text',
        {
          class: 'label halo',
          x: left ? at - 5 : at + 5,
          y: top - (narrow ? 18 : 4) - 13 * n,
          ...(left && { 'text-anchor': 'end' }),
        },
        label,
      ),
    );
  });
  return [...marks, ...names];
}

/** Head and a row for each point, in the units that are drawn. */
export const fieldRows = ({ at, along, fields }: Fields, step = 1): Cell[][] => [
  [
    along,
    ...fields.flatMap(({ name, unit, curves }) =>
      curves.map(({ label }) => `${name}, ${label}, ${unit.split(';')[0]}`),
    ),
  ],
  ...at.flatMap((value, k) =>
    k % step === 0
      ? [
          [
            Number(value.toPrecision(4)),
            ...fields.flatMap(({ curves }) =>
              curves.map(({ values }) => Number((values[k] ?? Number.NaN).toPrecision(5))),
            ),
          ],
        ]
      : [],
  ),
];
