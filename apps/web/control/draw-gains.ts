import type { GainMap, Gains } from '@striderule/engine';
import { type Mark, mark, round, toElement } from '../draw/mark.ts';
import { engraved } from '../drive/draw-slide.ts';
import { type LogScale, logAt, logNumerals, logTicks } from '../drive/log-scale.ts';
import { writeText } from '../hairline.ts';
import { significant } from '../show/number.ts';
import { type GainFrame, xOf, yOf } from './gain-frame.ts';
import type { GainMarks } from './gain-marks.ts';

const numeralWidth = (text: string): number => 6 * text.length;

/** Ticks and numerals of the damping, beside the map. */
function dampingScale({ x0, foot, damping, narrow }: GainFrame): Mark[] {
  const ticks = logTicks(damping);
  const path = ticks
    .map(({ x, rank }) => `M${x0} ${Math.round(foot - x) + 0.5}h${-[3, 4, 6, 8][rank]!}`)
    .join('');
  const inside = narrow;
  return [
    ...(narrow ? [] : [mark('path', { class: 'tick0 crisp', d: path })]),
    ...logNumerals(ticks, () => 12)
      .filter(({ x }) => !inside || (x > 8 && x < damping.length - 20))
      .map(({ x, text }) =>
        mark(
          'text',
          {
            class: 'numeral halo',
            'text-anchor': inside ? 'start' : 'end',
            x: inside ? x0 + 5 : x0 - 11,
            y: round(foot - x + 4),
          },
          text,
        ),
      ),
  ];
}

/** Cells of a row that share a verdict, as one path of bars. */
function cells(frame: GainFrame, map: GainMap, where: (at: number) => boolean): string {
  const { stiffnesses, dampings } = map;
  const columns = stiffnesses.length;
  const edge = (scale: LogScale, values: Float64Array, k: number): number => {
    const at = (i: number) => logAt(scale, values[i] ?? Number.NaN);
    if (k === 0) return at(0);
    if (k === values.length) return at(values.length - 1);
    return (at(k - 1) + at(k)) / 2;
  };
  let d = '';
  for (let row = 0; row < dampings.length; row++) {
    const [low, high] = [edge(frame.damping, dampings, row), edge(frame.damping, dampings, row + 1)];
    let from = -1;
    for (let column = 0; column <= columns; column++) {
      const on = column < columns && where(row * columns + column);
      if (on && from < 0) from = column;
      if (on || from < 0) continue;
      const [x1, x2] = [edge(frame.stiffness, stiffnesses, from), edge(frame.stiffness, stiffnesses, column)];
      d += `M${round(frame.x0 + x1)} ${round(frame.foot - low)}H${round(frame.x0 + x2)}V${round(frame.foot - high)}H${round(frame.x0 + x1)}Z`;
      from = -1;
    }
  }
  return d;
}

/** The line along which the loop turns, where it turns inside the map; run out to the left where it leaves the map there. */
function edgeLine(frame: GainFrame, { dampings, stableUpTo }: GainMap): string {
  let d = '';
  let before = Number.NaN;
  const left = (row: number): string => `${frame.x0} ${round(yOf(frame, dampings[row] ?? 1))}`;
  stableUpTo.forEach((stiffness, row) => {
    if (Number.isFinite(stiffness)) {
      if (!Number.isFinite(before)) d += row > 0 && Number.isNaN(before) ? `M${left(row)}L` : 'M';
      else d += 'L';
      d += `${round(xOf(frame, stiffness))} ${round(yOf(frame, dampings[row] ?? 1))}`;
    } else if (Number.isNaN(stiffness) && Number.isFinite(before)) d += `L${left(row - 1)}`;
    before = stiffness;
  });
  return d;
}

/** Middle of what a verdict covers, for its name; undefined where it covers too little to hold one. */
function middleOf(
  frame: GainFrame,
  { stiffnesses, dampings }: GainMap,
  where: (at: number) => boolean,
  text: string,
): readonly [number, number] | undefined {
  // the row with the longest run; of equal ones a low one, clear of what stands at the cross
  let best: { row: number; from: number; to: number }[] = [];
  const columns = stiffnesses.length;
  for (let row = 0; row < dampings.length; row++) {
    let from = -1;
    for (let column = 0; column <= columns; column++) {
      const on = column < columns && where(row * columns + column);
      if (on && from < 0) from = column;
      if (on || from < 0) continue;
      const run = { row, from, to: column - 1 };
      const length = best[0] === undefined ? -1 : best[0].to - best[0].from;
      if (run.to - run.from > length) best = [run];
      else if (run.to - run.from === length) best.push(run);
      from = -1;
    }
  }
  const run = best[Math.floor(best.length / 5)];
  if (run === undefined) return undefined;
  const [x1, x2] = [run.from, run.to].map((k) => xOf(frame, stiffnesses[k] ?? 1)) as [number, number];
  if (x2 - x1 < 6.4 * text.length) return undefined;
  // clear of the frame, which a run along the edge of the map lies at
  return [(x1 + x2) / 2, Math.min(yOf(frame, dampings[run.row] ?? 1), frame.foot - 14)];
}

/** The stiffest stable point of the map; undefined where the map has no edge. */
export function stiffestOf({ dampings, stableUpTo }: GainMap): Gains | undefined {
  let best: Gains | undefined;
  stableUpTo.forEach((stiffness, row) => {
    if (Number.isFinite(stiffness) && stiffness > (best?.stiffness ?? 0))
      best = { stiffness, damping: dampings[row] ?? Number.NaN };
  });
  return best;
}

const hatch = (id: string, d: string): Mark =>
  mark(
    'pattern',
    { id, width: 7, height: 7, patternUnits: 'userSpaceOnUse' },
    mark('path', { class: 'hatch', d }),
  );

/** All that holds still while gains move: the scale, the marks of others, the map. */
export function drawGainGround(
  frame: GainFrame,
  marks: readonly GainMarks[],
  map: GainMap | undefined,
  waits: string,
): Mark[] {
  const { x0, axis, narrow, stiffness, base, rows, top, foot, damping } = frame;
  const name = (x: number, y: number, text: string, unit: string) =>
    mark(
      'text',
      { class: 'name', x, y },
      text,
      mark('tspan', { class: 'unit', dx: 5, 'font-weight': 400 }, unit),
    );
  const drawn: Mark[] = [
    ...engraved(stiffness, x0, base, true),
    mark('path', { class: 'seam crisp', d: `M${x0} ${base + 0.5}H${x0 + axis + 1}` }),
    ...(narrow
      ? [name(x0, top - 6, 'Damping', 'N·m·s/rad, upwards')]
      : [
          mark('text', { class: 'name', x: 0, y: base - 4 }, 'Stiffness'),
          mark('text', { class: 'unit', x: 0, y: base + 11 }, 'N·m/rad'),
          mark('text', { class: 'name', x: 0, y: top + 14 }, 'Damping'),
          mark('text', { class: 'unit', x: 0, y: top + 29 }, 'N·m·s/rad'),
        ]),
  ];
  marks.forEach((row, k) => {
    const y = rows[k] ?? 0;
    drawn.push(
      narrow
        ? mark('text', { class: 'unit', x: x0, y: y - 13 }, row.name)
        : mark('text', { class: 'unit', x: 0, y: y + 4 }, row.name),
    );
    drawn.push(mark('path', { class: 'zero crisp', d: `M${x0} ${y + 0.5}H${x0 + axis}` }));
    if (row.range !== undefined) {
      const [from, to] = row.range.map((value) => xOf(frame, value)) as [number, number];
      drawn.push(
        mark('rect', { class: 'box', x: round(from), y: y - 4, width: round(to - from), height: 8 }),
        mark(
          'text',
          { class: 'numeral halo', 'text-anchor': 'start', x: round(to + 6), y: y + 4 },
          `${significant(row.range[0])} to ${significant(row.range[1])}`,
        ),
      );
    }
    let free = x0;
    const ticks = row.ticks.toSorted((a, b) => a.value - b.value);
    for (const [n, { value, label }] of ticks.entries()) {
      const x = xOf(frame, value);
      const next = xOf(frame, ticks[n + 1]?.value ?? Number.POSITIVE_INFINITY);
      if (x < x0 || x > x0 + axis) continue;
      drawn.push(mark('path', { class: 'edge crisp', d: `M${Math.round(x) + 0.5} ${y - 6}v12` }));
      // named where there is room; every one stands in the table
      const width = 5.6 * label.length;
      const fits = x + 5 >= free && x + 8 + width <= next && x + 5 + width <= x0 + axis + (narrow ? 0 : 90);
      if (label === '' || !fits) continue;
      free = x + 12 + width;
      drawn.push(mark('text', { class: 'numeral halo', x: round(x + 5), y: y + 4 }, label));
    }
  });
  const frameLine = mark('path', {
    class: 'seam crisp',
    d: `M${x0 + 0.5} ${top}V${foot + 0.5}H${x0 + axis + 0.5}V${top}Z`,
  });
  const below = [...logTicks(stiffness).map(({ x, rank }) => ({ x, height: [3, 4, 6, 8][rank]! }))];
  drawn.push(
    mark('path', {
      class: 'tick0 crisp',
      d: below.map(({ x, height }) => `M${Math.round(x0 + x) + 0.5} ${foot}v${height}`).join(''),
    }),
    ...logNumerals(logTicks(stiffness), numeralWidth).map(({ x, text }) =>
      mark(
        'text',
        {
          class: 'numeral',
          'text-anchor': narrow && x < 10 ? 'start' : narrow && x > axis - 12 ? 'end' : 'middle',
          x: round(x0 + x),
          y: foot + 20,
        },
        text,
      ),
    ),
    mark(
      'text',
      { class: 'unit', 'text-anchor': 'middle', x: x0 + axis / 2, y: foot + 38 },
      'stiffness at the joint, N·m/rad',
    ),
  );
  if (map === undefined)
    return [
      ...drawn,
      frameLine,
      ...dampingScale(frame),
      mark(
        'text',
        { class: 'gap', 'text-anchor': 'middle', x: x0 + axis / 2, y: foot - damping.length / 2 },
        waits,
      ),
    ];
  const stable = (at: number) => map.stable[at] === 1;
  const passive = (at: number) => map.passive[at] === 1 && stable(at);
  const beyond = (at: number) => map.within[at] === 0;
  const unstable = (at: number) => !stable(at) && !beyond(at);
  const named = (text: string, where: (at: number) => boolean) => {
    const at = middleOf(frame, map, where, text);
    return at === undefined
      ? []
      : [
          mark(
            'text',
            { class: 'label strong halo', 'text-anchor': 'middle', x: round(at[0]), y: round(at[1] + 4) },
            text,
          ),
        ];
  };
  const most = stiffestOf(map);
  return [
    ...drawn,
    mark(
      'defs',
      {},
      hatch('hatch-unstable', 'M-1 8L8 -1M-1 1L1 -1M6 8L8 6'),
      hatch('hatch-passive', 'M-1 3.5H8'),
      hatch('hatch-beyond', 'M0 0L7 7M7 0L0 7'),
    ),
    mark('path', { class: 'tongue', d: cells(frame, map, stable) }),
    mark('path', { fill: 'url(#hatch-unstable)', d: cells(frame, map, unstable) }),
    mark('path', { fill: 'url(#hatch-passive)', d: cells(frame, map, passive) }),
    mark('path', { fill: 'url(#hatch-beyond)', d: cells(frame, map, beyond) }),
    mark('path', { class: 'edge edge-of', d: edgeLine(frame, map) }),
    frameLine,
    ...dampingScale(frame),
    ...named('stable, not passive', (at) => stable(at) && !passive(at)),
    ...named('unstable', unstable),
    ...named('stable and passive', passive),
    ...named('beyond the gears', beyond),
    ...(most === undefined
      ? []
      : [
          mark('circle', {
            class: 'pin',
            r: 3.5,
            cx: round(xOf(frame, most.stiffness)),
            cy: round(yOf(frame, most.damping)),
          }),
          mark(
            'text',
            {
              class: 'numeral halo',
              'text-anchor': 'end',
              x: round(xOf(frame, most.stiffness) - 8),
              y: round(yOf(frame, most.damping) + 15),
            },
            `most: ${significant(most.stiffness)}`,
          ),
        ]),
  ];
}

export interface GainDrawing {
  /** Moves knob and cross; `limit`: the largest stable stiffness at this damping, no number where there is none. */
  readonly move: (gains: Gains, limit: number, verdict: string) => void;
}

/** Draws what moves, once, and gives the function that moves it. */
export function drawGains(svg: SVGSVGElement, frame: GainFrame, stated: Gains): GainDrawing {
  const { x0, axis, base, top, foot, narrow } = frame;
  const line = toElement(mark('path', { class: 'accent crisp' }));
  const across = toElement(mark('path', { class: 'accent crisp' }));
  const bead = toElement(mark('circle', { class: 'bead', r: 4.5 }));
  const knob = toElement(
    mark(
      'g',
      {},
      mark('rect', { class: 'knob', x: -17, y: 2, width: 34, height: 20 }),
      mark('path', { class: 'tick2', d: 'M-6 7v10M-2 7v10M2 7v10M6 7v10' }),
    ),
  );
  const side = toElement(
    mark(
      'g',
      {},
      mark('rect', { class: 'knob', x: 0, y: -12, width: 16, height: 24 }),
      mark('path', { class: 'tick2', d: 'M4 -5h8M4 0h8M4 5h8' }),
    ),
  );
  const reading = toElement(mark('text', { class: 'reading halo' }));
  const limitMark = toElement(mark('path', { class: 'edge' }));
  const limitText = toElement(mark('text', { class: 'label halo' }));
  const ghost = toElement(
    mark('path', {
      class: 'ghost',
      d: `M${round(xOf(frame, stated.stiffness))} ${base + 3}l4.5 8h-9z`,
    }),
  );
  svg.replaceChildren(ghost, line, across, limitMark, limitText, bead, knob, side, reading);
  return {
    move(gains, limit, verdict) {
      const x = Math.round(xOf(frame, gains.stiffness)) + 0.5;
      const y = Math.round(yOf(frame, gains.damping)) + 0.5;
      line.setAttribute('d', `M${x} ${base - 6}V${foot}`);
      across.setAttribute('d', `M${x0} ${y}H${x0 + axis}`);
      bead.setAttribute('cx', String(x));
      bead.setAttribute('cy', String(y));
      knob.setAttribute('transform', `translate(${x} ${base})`);
      side.setAttribute('transform', `translate(${narrow ? x0 + axis - 16 : x0 + axis + 1} ${y})`);
      ghost.setAttribute(
        'visibility',
        Math.abs(x - xOf(frame, stated.stiffness)) < 20 ? 'hidden' : 'visible',
      );
      const left = x > x0 + axis - 150;
      reading.setAttribute('x', String(left ? x - 9 : x + 9));
      reading.setAttribute('text-anchor', left ? 'end' : 'start');
      reading.setAttribute('y', String(y - top < 26 ? y + 20 : y - 9));
      writeText(reading, verdict);
      const there = xOf(frame, limit);
      const shown = Number.isFinite(limit) && there >= x0 && there <= x0 + axis;
      for (const part of [limitMark, limitText])
        part.setAttribute('visibility', shown ? 'visible' : 'hidden');
      if (!shown) return;
      limitMark.setAttribute('d', `M${round(there)} ${y - 7}v14`);
      const room = there < x0 + axis - 96;
      limitText.setAttribute('x', String(round(room ? there + 7 : there - 7)));
      limitText.setAttribute('text-anchor', room ? 'start' : 'end');
      limitText.setAttribute('y', String(y + 16));
      writeText(limitText, `stable to ${significant(limit)}`);
    },
  };
}
