import { mark, toElement } from '../draw/mark.ts';
import { sampleAt } from '../hairline.ts';
import { fixed } from '../show/number.ts';
import { phaseName } from '../show/phase.ts';
import { type Frame, footOf, xAt, yAt } from './frame.ts';
import type { RuleModel, Scale } from './scale.ts';

/** Values of one scale at a sample, each with its unit; the joint or series named where there are several. */
export function readingsOf(scale: Scale, sample: number): { text: string; of: string }[] {
  const shown = scale.series.filter(({ weight }) => weight !== 'thin').toReversed();
  const several = shown.filter(({ weight }) => weight === 'main').length > 1;
  return shown.map(({ values, label, weight }, k) => {
    const unit = several && k < shown.length - 1 ? '' : ` ${scale.unit.replace(' peak phase', '')}`;
    return {
      text: `${fixed(values[sample], scale.decimals)}${unit.replace(/ °/, '°')}`,
      of: weight === 'human' || several || label === 'up' ? label : '',
    };
  });
}

/** Draws the moving layer once; the function it gives moves it without touching the rest of the page. */
export function drawHairline(svg: SVGSVGElement, frame: Frame, model: RuleModel): (percent: number) => void {
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
    mark('text', { class: 'reading in-accent halo', y: top - 9, 'text-anchor': 'middle' }),
  );
  const where = document.createTextNode('');
  const phase = toElement(mark('tspan', { class: 'of', dx: 7 }));
  head.append(where, phase);
  const rows = model.scales.map((scale, index) => {
    const beads = scale.series
      .filter(({ weight }) => weight === 'main')
      .map((series) => ({ series, bead: toElement(mark('circle', { class: 'bead', r: 3 })) }));
    const text = toElement(
      mark('text', { class: 'reading halo', y: top + index * band + (narrow ? frame.lane - 4 : 13) }),
    );
    const parts = readingsOf(scale, 0).map((_, k) => {
      const value = toElement(mark('tspan', k === 0 ? {} : { dx: 9 }));
      const of = toElement(mark('tspan', { class: 'of', dx: 4 }));
      text.append(value, of);
      return { value, of };
    });
    return { scale, index, beads, text, parts };
  });
  svg.replaceChildren(
    line,
    ...rows.flatMap(({ beads, text }) => [...beads.map(({ bead }) => bead), text]),
    head,
  );
  return (percent) => {
    const x = Math.round(xAt(frame, percent));
    const sample = sampleAt(percent);
    line.setAttribute('transform', `translate(${x} 0)`);
    where.data = `${fixed(percent, percent % 1 === 0 ? 0 : 1)} %`;
    phase.textContent = phaseName(percent, model.stance);
    const room = narrow ? 110 : 150;
    head.setAttribute('x', String(Math.min(x0 + axis - room, Math.max(x0 + room, x))));
    for (const { scale, index, beads, text, parts } of rows) {
      for (const { series, bead } of beads) {
        const value = series.values[sample] ?? Number.NaN;
        const missing = Number.isNaN(value);
        bead.setAttribute('visibility', missing ? 'hidden' : 'visible');
        if (missing) continue;
        bead.setAttribute('cx', String(x + 0.5));
        bead.setAttribute('cy', yAt(frame, index, scale, value).toFixed(2));
      }
      readingsOf(scale, sample).forEach((reading, k) => {
        const part = parts[k];
        if (part === undefined) return;
        part.value.textContent = reading.text;
        part.of.textContent = reading.of;
      });
      if (narrow) {
        text.setAttribute('x', String(x0 + axis - 4));
        text.setAttribute('text-anchor', 'end');
      } else {
        const flip = x > x0 + axis - (parts.length > 2 ? 250 : 170);
        text.setAttribute('x', String(flip ? x - 7 : x + 8));
        text.setAttribute('text-anchor', flip ? 'end' : 'start');
      }
    }
  };
}
