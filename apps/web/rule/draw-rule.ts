import { type Mark, mark, round } from '../draw/mark.ts';
import { writeText } from '../hairline.ts';
import { spreadLabels } from '../show/labels.ts';
import { fixed, written } from '../show/number.ts';
import { numerals } from '../show/ticks.ts';
import { axisOf, axisTicks } from './along.ts';
import { type Frame, footOf, xAt, yAt } from './frame.ts';
import type { Along, Part, PartLook, RuleModel, Scale, Series } from './scale.ts';

const crispX = (x: number): number => Math.round(x) + 0.5;

function tickPaths(frame: Frame, along: Along, y: number, up: boolean, heights: readonly number[]): Mark[] {
  const paths = ['', '', ''];
  for (const { percent, rank } of axisTicks(along, frame.axis)) {
    const height = heights[rank] ?? 3;
    paths[rank] += `M${crispX(xAt(frame, percent))} ${y}v${up ? -height : height}`;
  }
  return paths.map((d, rank) => mark('path', { class: `${rank === 2 ? 'tick2' : 'tick0'} crisp`, d }));
}

/** A curve with a break wherever there is no value. */
function curvePath(frame: Frame, index: number, scale: Scale, values: ArrayLike<number>): string {
  let d = '';
  let broken = true;
  for (let i = 0; i < values.length; i++) {
    const value = values[i] ?? Number.NaN;
    if (Number.isNaN(value)) {
      broken = true;
      continue;
    }
    const x = round(xAt(frame, (100 * i) / (values.length - 1)) + 0.5);
    d += `${broken ? 'M' : 'L'}${x} ${round(yAt(frame, index, scale, value))}`;
    broken = false;
  }
  return d;
}

/** Joints are told apart by dash only where several are drawn; one alone is a full line. */
const dashOf = (series: Series, several: boolean): string => {
  if (series.weight === 'thin') return `thin dash-${series.letter}`;
  if (series.weight === 'ghost') return 'thin';
  if (series.weight === 'kept') return 'thin dash-c';
  if (series.weight === 'bound') return 'limit';
  if (series.weight === 'asked') return `asked ${series.tone}`;
  if (series.weight === 'human') return `second ${series.tone} dash-human`;
  return `curve ${series.tone}${several ? ` dash-${series.tone}` : ''}`;
};

const inkOf = (series: Series): string =>
  series.weight === 'thin' || series.weight === 'ghost' || series.weight === 'kept'
    ? 'in-thin'
    : series.weight === 'bound'
      ? ''
      : `in-${series.tone}`;

/** Names at the curves' right ends, moved apart where they would touch, with a leader where moved. */
function endLabels(frame: Frame, index: number, scale: Scale): Mark[] {
  const { x0, axis, narrow, top, band, lane } = frame;
  const right = x0 + axis;
  const ends = scale.series
    .filter(({ label, values }) => label !== '' && !Number.isNaN(values[values.length - 1]))
    // a phone has room for the names of what is walked alone
    .filter(({ weight }) => !(narrow && weight === 'kept'))
    .map((series) => ({
      text: series.label,
      ink: inkOf(series),
      strong: series.weight === 'main',
      y: yAt(frame, index, scale, series.values[series.values.length - 1] ?? 0),
    }));
  const limits = narrow
    ? []
    : scale.limits
        .filter(
          ({ value }) => (value > 0 && value > scale.high) || (value >= scale.low && value <= scale.high),
        )
        .map(({ label, value }) => ({
          text: value > scale.high ? `${label} ↑` : label,
          ink: '',
          strong: false,
          y: Math.max(yAt(frame, index, scale, value), top + index * band + 6),
        }));
  const all = [...ends, ...limits];
  const places = spreadLabels(
    all.map(({ y }) => y),
    12.5,
    top + index * band + (narrow ? lane + 6 : 7),
    top + (index + 1) * band - (narrow ? 14 : 6),
  );
  return all.flatMap(({ text, ink, strong, y }, k) => {
    const place = places[k] ?? y;
    const name = mark(
      'text',
      {
        class: `label ${ink}${strong ? ' strong' : ''}${narrow ? ' halo' : ''}`,
        x: narrow ? right - 4 : right + 16,
        y: round(place + 4),
        ...(narrow && { 'text-anchor': 'end' }),
      },
      text,
    );
    if (narrow) return [name];
    return [
      mark('path', { class: 'leader', d: `M${right + 2} ${round(y)}L${right + 13} ${round(place)}` }),
      name,
    ];
  });
}

/** Text in lines of at most `most` letters, broken at spaces. */
function wrapped(text: string, most: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= most)
      lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}

function headOf(frame: Frame, index: number, scale: Scale): Mark[] {
  const y = frame.top + index * frame.band;
  const unit = `${scale.unit}, ${scale.note}`;
  if (frame.narrow)
    return [
      mark(
        'text',
        { class: 'name', x: frame.x0 + 4, y: y + 14 },
        scale.name,
        mark('tspan', { class: 'unit', dx: 5, 'font-weight': 400 }, unit),
      ),
    ];
  return [
    mark('text', { class: 'name', x: 0, y: y + 22 }, scale.name),
    ...wrapped(unit, 20).map((line, k) => mark('text', { class: 'unit', x: 0, y: y + 38 + 15 * k }, line)),
  ];
}

/** Said where a curve leaves a scale that holds still. */
function beyondOf(scale: Scale): string {
  const out = scale.series.some(
    ({ weight, values }) =>
      weight === 'main' && Array.from(values).some((value) => value > scale.high || value < scale.low),
  );
  return out ? 'beyond scale' : '';
}

/** Curves seen through their own field only. */
function windowOf(frame: Frame, index: number, curves: readonly Mark[], beyond: string): Mark {
  const { x0, axis, top, band, lane, field } = frame;
  const y = top + index * band + lane - 2;
  const [width, height] = [axis + 1, field + 6];
  return mark(
    'svg',
    { class: 'clip', x: x0, y, width, height, viewBox: `${x0} ${y} ${width} ${height}` },
    ...curves,
    mark('text', { class: 'gap halo', 'data-beyond': index, x: x0 + 5, y: y + 13 }, beyond),
  );
}

/** Draws the curves of another model over the same scales, in place: what moves while a ratio slides. */
export function redrawCurves(svg: SVGSVGElement, frame: Frame, model: RuleModel): void {
  model.scales.forEach((scale, index) => {
    for (const series of scale.series)
      svg
        .querySelector(`[data-curve="${scale.key} ${series.key}"]`)
        ?.setAttribute('d', curvePath(frame, index, scale, series.values));
    const beyond = svg.querySelector(`[data-beyond="${index}"]`);
    if (beyond !== null) writeText(beyond, beyondOf(scale));
  });
}

function bandOf(frame: Frame, along: Along, index: number, scale: Scale): Mark[] {
  const { x0, axis, top, band, narrow } = frame;
  const base = top + (index + 1) * band - 0.5;
  const marks = [
    ...tickPaths(frame, along, base, true, [3, 5, 8]),
    mark('path', { class: 'seam crisp', d: `M${x0} ${base}H${x0 + axis + 1}` }),
    ...headOf(frame, index, scale),
  ];
  for (const value of numerals(scale.low, scale.high, narrow ? 3 : 4)) {
    const y = Math.round(yAt(frame, index, scale, value)) + 0.5;
    if (Math.abs(value) < 1e-9)
      marks.push(mark('path', { class: 'zero crisp', d: `M${x0} ${y}H${x0 + axis}` }));
    if (narrow) continue;
    marks.push(
      mark('text', { class: 'numeral', 'text-anchor': 'end', x: x0 - 9, y: y + 3.5 }, written(value)),
      mark('path', { class: 'tick2 crisp', d: `M${x0 - 6} ${y}H${x0}` }),
    );
  }
  for (const { value } of scale.limits) {
    if (value < scale.low || value > scale.high) continue;
    const y = Math.round(yAt(frame, index, scale, value)) + 0.5;
    marks.push(mark('path', { class: 'limit', d: `M${x0} ${y}H${x0 + axis}` }));
  }
  const several = scale.series.filter(({ weight }) => weight === 'main').length > 1;
  const curves = scale.series
    .filter(({ weight }) => weight !== 'crowd')
    .map((series) =>
      mark('path', {
        class: dashOf(series, several),
        'data-curve': `${scale.key} ${series.key}`,
        d: curvePath(frame, index, scale, series.values),
      }),
    );
  marks.push(...(scale.still === true ? [windowOf(frame, index, curves, beyondOf(scale))] : curves));
  if (scale.gap !== undefined) {
    const middle = { x: x0 + axis / 2, y: base - 9 - frame.field / 2 + 4, 'text-anchor': 'middle' };
    marks.push(mark('text', { class: 'gap halo', ...middle }, scale.gap));
  }
  return [...marks, ...endLabels(frame, index, scale)];
}

/** Beyond so many points of the crowd it is painted on a canvas, and SVG only in the file. */
const SVG_POINTS = 4000;

/** Are there more points in the crowd than an SVG draws at once? */
export const isCrowded = ({ scales }: RuleModel): boolean =>
  scales.reduce(
    (sum, { series }) =>
      series.reduce((points, { weight, values }) => points + (weight === 'crowd' ? values.length : 0), sum),
    0,
  ) > SVG_POINTS;

/** px between two threads of a weave, and what lies between two of the other ones. */
const THREADS = [9, 5];

/** The ground of one part: its tint, and its weave over that. */
export function groundOf(
  { tint, weave }: PartLook,
  {
    x,
    y,
    width,
    height,
  }: { readonly x: number; readonly y: number; readonly width: number; readonly height: number },
): Mark[] {
  let d = '';
  const apart = THREADS[Math.floor((weave - 1) / 3) % THREADS.length] ?? 9;
  const turn = (weave - 1) % 3;
  for (let c = apart; weave > 0 && c < width + height; c += apart) {
    const [left, right] = [Math.max(0, c - height), Math.min(c, width)];
    const [low, high] = [round(y + Math.min(c, height)), round(y + Math.max(0, c - width))];
    if (turn !== 1) d += `M${round(x + left)} ${low}L${round(x + right)} ${high}`;
    if (turn !== 0) d += `M${round(x + width - left)} ${low}L${round(x + width - right)} ${high}`;
  }
  return [
    ...(tint === 'swing'
      ? []
      : [mark('rect', { class: `${tint === 'stance' ? 'ground' : 'tongue'} crisp`, x, y, width, height })]),
    ...(d === '' ? [] : [mark('path', { class: 'weave', d })]),
  ];
}

/** Ends of a part, px. */
const endsOf = ({ x0, axis }: Frame, { from, to }: Part): readonly [from: number, to: number] => [
  x0 + Math.round(from * axis),
  x0 + Math.round(to * axis),
];

function partGrounds(frame: Frame, parts: readonly Part[]): Mark[] {
  const { top } = frame;
  const height = footOf(frame) - top;
  return parts.flatMap((part, k) => {
    const [x, end] = endsOf(frame, part);
    return [
      ...groundOf(part.look, { x, y: top, width: end - x, height }),
      ...(k === 0 ? [] : [mark('path', { class: 'zero crisp', d: `M${x + 0.5} ${top}v${height}` })]),
    ];
  });
}

/** What lies under everything else: the tint of stance, or of other parts, and the many strides of a crowd. */
export function drawUnder(frame: Frame, model: RuleModel): Mark[] {
  const { x0, axis, top } = frame;
  return [
    ...('parts' in model
      ? partGrounds(frame, model.parts)
      : [
          mark('rect', {
            class: 'ground crisp',
            x: x0,
            y: top,
            width: Math.round(model.stance * axis),
            height: footOf(frame) - top,
          }),
        ]),
    ...model.scales.flatMap((scale, index) =>
      scale.series
        .filter(({ weight }) => weight === 'crowd')
        .map(({ values }) => mark('path', { class: 'crowd', d: curvePath(frame, index, scale, values) })),
    ),
  ];
}

/** px of a letter of a numeral, about. */
const LETTER = 5.8;

/** What the ground tells, over the scales: each part with its number and its name, as far as they fit into it. */
function groundNames(frame: Frame, along: Along): Mark[] {
  const { x0, axis, top, narrow } = frame;
  const at = (x: number, anchor: 'start' | 'middle' | 'end', text: string): Mark =>
    mark('text', { class: 'numeral', x, y: top - 9, 'text-anchor': anchor }, text);
  if ('stance' in along) {
    const [stance, swing] = [100 * along.stance, 100 * (1 - along.stance)];
    return [
      at(x0 + 2, 'start', narrow ? 'stance' : `stance ${fixed(stance, 1)} %`),
      at(x0 + axis - 1, 'end', narrow ? 'swing' : `swing ${fixed(swing, 1)} %`),
    ];
  }
  if (along.parts.length === 0) return [at(x0 + 2, 'start', narrow ? 'no stance' : 'the foot bears nothing')];
  return along.parts.flatMap((part, k) => {
    const [from, to] = endsOf(frame, part);
    const room = to - from - 3;
    const text = [`${k + 1} ${part.name}`, String(k + 1)].find(({ length }) => length * LETTER <= room);
    return text === undefined ? [] : [at((from + to) / 2, 'middle', text)];
  });
}

/** The rule over what lies under it, but for its hairline, which moves and is drawn apart. */
export function drawRule(frame: Frame, model: RuleModel): Mark[] {
  const { x0, axis, top, narrow } = frame;
  const foot = footOf(frame);
  const { name, unit } = axisOf(model);
  return [
    ...model.scales.flatMap((scale, index) => bandOf(frame, model, index, scale)),
    ...tickPaths(frame, model, foot + 0.5, false, [4, 7, 10]),
    ...(narrow ? [] : [mark('text', { class: 'unit', x: 0, y: foot + 23 }, `${name}, ${unit}`)]),
    mark('path', {
      class: 'edge crisp',
      d: `M${x0 + 0.5} ${top}V${foot + 10}M${x0 + axis + 0.5} ${top}V${foot + 10}M${x0} ${top - 0.5}H${x0 + axis + 1}`,
    }),
    ...groundNames(frame, model),
  ];
}
