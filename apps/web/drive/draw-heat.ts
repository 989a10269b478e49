import type { DrivenJoint } from '@striderule/engine';
import { type JointHeat, jointHeat, shownUnit } from '@striderule/engine';
import type { Moving } from '../design/live-ratio.ts';
import { mark, round, toElement } from '../draw/mark.ts';
import { writeText } from '../hairline.ts';
import { frameFor } from '../rule/frame.ts';
import { fixed } from '../show/number.ts';
import { numerals } from '../show/ticks.ts';

export const celsius = shownUnit('K').of;

export const HEAT_HEIGHT = 236;
const TOP = 26;
const FOOT = 52;
/** K over the winding's limit that the scale still shows. Our choice. */
const OVER = 50;

export const heatOf = ({ input, design }: Moving, joint: DrivenJoint): JointHeat | { openBecause: string } =>
  jointHeat(input, design, joint);

/** s that the schedule takes. */
const wholeTime = (heat: JointHeat): number => heat.tasks.reduce((sum, { duration }) => sum + duration, 0);

/** The hottest winding in words. */
export function heatWords(heat: JointHeat): string {
  const { course, order, tasks, windingLimit } = heat;
  const i = course.hottestWinding;
  const title = tasks.find(({ id }) => id === order[course.block[i] ?? -1])?.title ?? '';
  const hours = (s: number) => `${fixed(s / 3600, 2)} h`;
  if (order.length === 0) return 'No task of the schedule has a curve with moments.';
  if (course.melts)
    return `The winding runs away after ${hours(course.time[i] ?? 0)}, in ${title}: at this ratio the day cannot be done.`;
  const value = course.winding[i] ?? Number.NaN;
  if (Number.isNaN(value)) return `Not known: in ${title} a torque lies beyond saturation.`;
  return `Winding at most ${fixed(celsius(value), 0)} °C after ${hours(course.time[i] ?? 0)}, in ${title}; limit ${fixed(celsius(windingLimit), 0)} °C.`;
}

/** Temperatures over the schedule as the ratio moves, on an axis of hours with the ends of the stride rule. */
export function drawHeat(
  svg: SVGSVGElement,
  available: number,
  saved: Moving,
  joint: DrivenJoint,
  savedHeat: JointHeat,
): (moving: Moving) => void {
  const { narrow, x0, axis } = frameFor(available, [], false);
  const whole = wholeTime(savedHeat);
  const base = HEAT_HEIGHT - FOOT;
  const high = celsius(savedHeat.windingLimit) + OVER;
  const low = Math.min(0, celsius(savedHeat.ambient));
  const x = (seconds: number) => x0 + (axis * seconds) / whole;
  const y = (kelvin: number) => base - ((celsius(kelvin) - low) / (high - low)) * (base - TOP);
  const level = (kelvin: number) => Math.round(y(kelvin)) + 0.5;
  const limits = [
    { kelvin: savedHeat.windingLimit, name: 'winding limit' },
    ...(savedHeat.surfaceLimit === undefined
      ? []
      : [{ kelvin: savedHeat.surfaceLimit, name: 'surface limit' }]),
  ];
  const hours = whole / 3600;
  const ground = [
    ...(narrow
      ? [
          mark(
            'text',
            { class: 'name', x: x0, y: 13 },
            'Temperature',
            mark('tspan', { class: 'unit', dx: 5 }, '°C, coolest task first'),
          ),
        ]
      : [
          mark('text', { class: 'name', x: 0, y: TOP + 14 }, 'Temperature'),
          mark('text', { class: 'unit', x: 0, y: TOP + 30 }, '°C over the day,'),
          mark('text', { class: 'unit', x: 0, y: TOP + 45 }, 'coolest task first'),
        ]),
    ...numerals(low, high, 5).flatMap((value) => {
      const at = Math.round(base - ((value - low) / (high - low)) * (base - TOP)) + 0.5;
      return [
        mark('path', { class: 'zero crisp', d: `M${x0} ${at}H${x0 + axis}` }),
        mark(
          'text',
          {
            class: 'numeral halo',
            'text-anchor': narrow ? 'start' : 'end',
            x: narrow ? x0 + 4 : x0 - 9,
            y: at + (narrow ? -3 : 4),
          },
          fixed(value, 0),
        ),
      ];
    }),
    ...numerals(0, hours, narrow ? 6 : 11).flatMap((value) => [
      mark('path', { class: 'tick2 crisp', d: `M${Math.round(x(3600 * value)) + 0.5} ${base}v8` }),
      mark(
        'text',
        {
          class: 'numeral',
          'text-anchor': narrow && value === 0 ? 'start' : 'middle',
          x: round(x(3600 * value)),
          y: base + 20,
        },
        fixed(value, Number.isInteger(value) ? 0 : 1),
      ),
    ]),
    mark(
      'text',
      {
        class: 'unit',
        x: narrow ? x0 + axis : 0,
        y: narrow ? 13 : base + 20,
        'text-anchor': narrow ? 'end' : 'start',
      },
      narrow ? 'h below' : 'Time, h',
    ),
    ...limits.flatMap(({ kelvin, name }) => [
      mark('path', { class: 'limit', d: `M${x0} ${level(kelvin)}H${x0 + axis}` }),
      mark(
        'text',
        { class: 'label halo', x: x0 + (narrow ? 34 : 6), y: level(kelvin) - 5 },
        `${name} ${fixed(celsius(kelvin), 0)} °C`,
      ),
    ]),
    mark('path', {
      class: 'edge crisp',
      d: `M${x0 + 0.5} ${TOP}V${base}M${x0 + axis + 0.5} ${TOP}V${base}M${x0} ${base + 0.5}H${x0 + axis + 1}`,
    }),
  ].map(toElement);
  const path = (name: string) => toElement(mark('path', { class: name }));
  const window = toElement(
    mark('svg', {
      class: 'clip',
      x: x0,
      y: TOP,
      width: axis,
      height: base - TOP,
      viewBox: `${x0} ${TOP} ${axis} ${base - TOP}`,
    }),
  );
  const curves = {
    ghost: path('thin'),
    housing: path(`second ${joint} dash-human`),
    winding: path(`curve ${joint}`),
    blocks: path('tick0 crisp'),
  };
  window.append(curves.blocks, curves.ghost, curves.housing, curves.winding);
  const names = Array.from({ length: savedHeat.tasks.length + 1 }, () =>
    toElement(mark('text', { class: 'numeral', y: base + 38, 'text-anchor': 'middle' })),
  );
  const ends = (['winding', 'housing'] as const).map((node) => ({
    node,
    text: toElement(mark('text', { class: `label ${node === 'winding' ? 'strong ' : ''}in-${joint} halo` })),
  }));
  svg.replaceChildren(...ground, window, ...names, ...ends.map(({ text }) => text));

  /** One point a pixel: the course has many more. */
  const line = ({ course }: JointHeat, values: Float64Array): string => {
    let d = '';
    let last = Number.NEGATIVE_INFINITY;
    const n = values.length;
    for (let i = 0; i < n; i++) {
      const px = x(course.time[i] ?? 0);
      const value = values[i] ?? Number.NaN;
      if ((px - last < 1 && i < n - 1) || Number.isNaN(value)) continue;
      last = px;
      d += `${d === '' ? 'M' : 'L'}${px.toFixed(1)} ${Math.max(TOP - 40, y(value)).toFixed(1)}`;
    }
    return d;
  };
  curves.ghost.setAttribute('d', line(savedHeat, savedHeat.course.winding));
  return (moving) => {
    const heat = heatOf(moving, joint);
    if ('openBecause' in heat) return;
    const { course, order } = heat;
    curves.ghost.setAttribute('visibility', moving.ratio === saved.ratio ? 'hidden' : 'visible');
    curves.winding.setAttribute('d', line(heat, course.winding));
    curves.housing.setAttribute('d', line(heat, course.housing));
    let start = 0;
    let ticks = '';
    names.forEach((name, k) => {
      const task = heat.tasks.find(({ id }) => id === order[k]);
      const end = start + (task?.duration ?? 0);
      const room = x(end) - x(start);
      // a name that does not fit its block is left to the table
      const fits = task !== undefined && room > 5.4 * task.title.length;
      writeText(name, fits ? task.title : '');
      if (fits) name.setAttribute('x', round(x(start) + room / 2).toString());
      if (task !== undefined && k > 0) ticks += `M${Math.round(x(start)) + 0.5} ${base}v-${base - TOP}`;
      start = end;
    });
    curves.blocks.setAttribute('d', ticks);
    // named where the curve ends, or where it leaves the scale
    const spots = ends.map(({ node }) => {
      const out = course[node].findIndex((value) => !(y(value) >= TOP + 6));
      const i = out < 0 ? course.time.length - 1 : Math.max(0, out - 1);
      return { x: x(course.time[i] ?? 0), y: y(course[node][i] ?? Number.NaN) };
    });
    const [winding, housing] = spots;
    if (winding !== undefined && housing !== undefined && Math.abs(winding.y - housing.y) < 14)
      housing.y = winding.y + 14;
    ends.forEach(({ node, text }, k) => {
      const spot = spots[k]!;
      text.setAttribute('visibility', Number.isNaN(spot.y) ? 'hidden' : 'visible');
      if (Number.isNaN(spot.y)) return;
      const right = !narrow && spot.x > x0 + axis - 2;
      text.setAttribute('x', round(right ? x0 + axis + 8 : spot.x - 6).toString());
      text.setAttribute('text-anchor', right ? 'start' : 'end');
      text.setAttribute('y', round(Math.min(base - 4, spot.y + 4)).toString());
      writeText(text, node);
    });
  };
}
