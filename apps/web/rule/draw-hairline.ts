import { mark, toElement } from '../draw/mark.ts';
import { sampleAt, writeText } from '../hairline.ts';
import { fixed } from '../show/number.ts';
import { axisNumerals, partAt, placeText } from './along.ts';
import { type Frame, footOf, xAt, yAt } from './frame.ts';
import type { RuleModel, Scale, Series } from './scale.ts';

/** One reading: the value, and what it is of where a scale has several. */
export interface Reading {
  readonly of: string;
  readonly text: string;
}

/**
 * Values of one scale at a place, per cent, the unit on the last. What the human was asked stands beside this leg's own only where the two
 * print differently.
 */
export function readingsOf(scale: Scale, percent: number): Reading[] {
  const main = scale.series.filter(({ weight }) => weight === 'main');
  const shown = [
    ...main,
    ...scale.series.filter(({ weight }) => weight === 'asked'),
    ...scale.series.filter(({ weight }) => weight === 'human'),
  ];
  const texts = shown.map((series) => fixed(readAt(series, percent), scale.decimals));
  const kept = shown
    .map(({ label, weight }, k) => ({ label, weight, text: texts[k] ?? '' }))
    .filter(({ label, text }, k) => k === 0 || label !== 'human' || text !== texts[0]);
  const unit = scale.unit.replace(' peak phase', '');
  const gap = unit.startsWith('°') ? '' : ' ';
  return kept.map(({ label, weight, text }, k) => ({
    of: main.length > 1 || weight !== 'main' || scale.key === 'ground-force' ? label : '',
    text: k === kept.length - 1 ? `${text}${gap}${unit}` : text,
  }));
}

export interface HairlineDrawing {
  /** Moves it without touching the rest of the page. */
  readonly move: (percent: number) => void;
  /** Reads another model with the same scales and curves from now on. */
  readonly read: (model: RuleModel) => void;
}

/** Draws the moving layer once, and gives what moves it. */
export function drawHairline(svg: SVGSVGElement, frame: Frame, model: RuleModel): HairlineDrawing {
  const { x0, axis, top, band, narrow } = frame;
  const foot = footOf(frame);
  const line = toElement(
    mark(
      'g',
      {},
      mark('path', { class: 'accent crisp', d: `M0.5 ${top - 4}V${foot + 11}` }),
      mark('path', { class: 'in-accent', d: `M0.5 ${foot + 11}l4.5 6h-9z` }),
    ),
  );
  const head = toElement(
    mark('text', { class: 'reading in-accent halo', y: Math.min(top - 9, 15), 'text-anchor': 'middle' }),
  );
  const where = document.createTextNode('');
  const phase = toElement(mark('tspan', { class: 'of', dx: 7 }));
  head.append(where, phase);
  const rows = model.scales.map((scale, index) => {
    const beads = mainOf(scale).map(() => toElement(mark('circle', { class: 'bead', r: 3 })));
    const text = toElement(
      mark('text', { class: 'reading halo', y: top + index * band + (narrow ? frame.lane - 4 : 13) }),
    );
    const parts = Array.from({ length: 3 }, (_, k) => {
      const of = toElement(mark('tspan', { class: 'of', ...(k > 0 && { dx: 9 }) }));
      const value = toElement(mark('tspan'));
      text.append(of, value);
      return { value, of };
    });
    return { index, beads, text, parts };
  });
  const numerals = axisNumerals(model).map(({ percent, text }) => ({
    x: xAt(frame, percent),
    text: toElement(
      mark(
        'text',
        {
          class: 'numeral',
          'text-anchor': narrow && percent === 0 ? 'start' : narrow && percent > 97 ? 'end' : 'middle',
          x: xAt(frame, percent) + 0.5,
          y: foot + 23,
        },
        text,
      ),
    ),
  }));
  svg.replaceChildren(
    ...numerals.map(({ text }) => text),
    line,
    ...rows.flatMap(({ beads, text }) => [...beads, text]),
    head,
  );
  let now = model.scales.map((scale) => ({ scale, main: mainOf(scale) }));
  const move = (percent: number) => {
    const x = Math.round(xAt(frame, percent));
    line.setAttribute('transform', `translate(${x} 0)`);
    where.data = placeText(model, percent);
    writeText(phase, partAt(model, percent));
    for (const numeral of numerals)
      numeral.text.setAttribute('visibility', Math.abs(numeral.x - x) < 13 ? 'hidden' : 'visible');
    const room = narrow ? 110 : 150;
    head.setAttribute('x', String(Math.min(x0 + axis - room, Math.max(x0 + room, x))));
    for (const { index, beads, text, parts } of rows) {
      const { scale, main } = now[index]!;
      beads.forEach((bead, k) => {
        const value = readAt(main[k], percent);
        const missing = Number.isNaN(value) || (scale.still === true && !within(scale, value));
        bead.setAttribute('visibility', missing ? 'hidden' : 'visible');
        if (missing) return;
        bead.setAttribute('cx', String(x + 0.5));
        bead.setAttribute('cy', yAt(frame, index, scale, value).toFixed(2));
      });
      const readings = readingsOf(scale, percent);
      parts.forEach(({ of, value }, k) => {
        const reading = readings[k];
        writeText(of, reading === undefined || reading.of === '' ? '' : `${reading.of} `);
        writeText(value, reading?.text ?? '');
      });
      if (narrow) {
        text.setAttribute('x', String(x0 + axis - 4));
        text.setAttribute('text-anchor', 'end');
      } else {
        const flip = x > x0 + axis - (readings.length > 2 ? 250 : 190);
        text.setAttribute('x', String(flip ? x - 7 : x + 8));
        text.setAttribute('text-anchor', flip ? 'end' : 'start');
      }
    }
  };
  return {
    move,
    read(next) {
      now = next.scales.map((scale) => ({ scale, main: mainOf(scale) }));
    },
  };
}

const readAt = (series: Series | undefined, percent: number): number =>
  series?.read?.(percent) ?? series?.values[sampleAt(percent, series.values.length)] ?? Number.NaN;
const mainOf = (scale: Scale): Series[] => scale.series.filter(({ weight }) => weight === 'main');
const within = ({ low, high }: Scale, value: number): boolean => value >= low && value <= high;
