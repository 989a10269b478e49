import type { EndPrice, LeverPrice, WalkPrice } from '@striderule/engine';
import type { Drawn } from '../draw/instrument.tsx';
import { type Mark, mark, round } from '../draw/mark.ts';
import type { Cell } from '../show/csv.ts';
import { fixed, GAP, significant, written } from '../show/number.ts';
import { numerals } from '../show/ticks.ts';

const ENDS = ['prescribed', 'led'] as const;
const HEAD = 40;
/** Letters that fit beside the axis in one line. */
const LONGEST = 78;
const FOOT = 12;

/** px: from row to row, of the names, and of what is said at the right. */
function layout(width: number) {
  const narrow = width < 640;
  const roomy = width >= 1200;
  const [x0, right] = narrow ? [0, 0] : [292, roomy ? 470 : 130];
  return { narrow, roomy, x0, axis: width - x0 - right, row: narrow ? 60 : 25, lane: narrow ? 34 : 0 };
}

export const priceHeight = (width: number, levers: number): number =>
  HEAD + levers * layout(width).row + FOOT;

const signed = (value: number): string => `${value > 0 ? '+' : ''}${significant(value, 2)}`;
const priceOf = (end: EndPrice, size: number): string =>
  end.noneBecause === undefined ? signed(end.narrow * size) : GAP;

/** Whether the price stands, in words. */
export function standsWords({ prescribed, led }: LeverPrice): string {
  const [a, b] = [prescribed.noneBecause, led.noneBecause];
  if (a === undefined && b === undefined)
    return prescribed.narrow * led.narrow > 0 ? 'both ends agree in sign' : 'the ends differ in sign';
  if (a === b) return `no price: ${a}`;
  return [
    ...(a === undefined ? [] : [`none prescribed: ${a}`]),
    ...(b === undefined ? [] : [`none led: ${b}`]),
  ].join('; ');
}

/** J a stride that the usual spread of a number, or a builder's step, moves the hip by: a bar for each end of the bracket. */
export function drawPrice(width: number, price: WalkPrice | undefined): Drawn {
  const { narrow, roomy, x0, axis, row, lane } = layout(width);
  const prices = price?.prices ?? [];
  const moved = (each: LeverPrice, end: (typeof ENDS)[number]): number =>
    each[end].noneBecause === undefined ? each[end].narrow * each.lever.spread : Number.NaN;
  const all = prices.flatMap((each) => ENDS.map((end) => moved(each, end))).filter(Number.isFinite);
  const [low, high] = [Math.min(0, ...all), Math.max(0, ...all)];
  const span = high > low ? 1.06 * (high - low) : 1;
  const zero = x0 + (axis * (0.03 * span - low)) / span;
  const x = (joules: number): number => zero + (axis * joules) / span;
  const foot = HEAD + prices.length * row;
  const marks: Mark[] = [];
  if (prices.length > 0) {
    for (const value of numerals(low, high, narrow ? 5 : 9)) {
      const at = Math.round(x(value)) + 0.5;
      marks.push(
        mark('text', { class: 'numeral', 'text-anchor': 'middle', x: at, y: HEAD - 12 }, written(value)),
        mark('path', { class: 'tick2 crisp', d: `M${at} ${HEAD - 7}v6` }),
      );
    }
    marks.push(
      mark(
        'text',
        { class: 'unit', x: narrow ? 0 : x0, y: 12 },
        'J a stride at the hip, for one spread or step',
      ),
      mark('path', {
        class: 'edge crisp',
        d: `M${Math.round(zero) + 0.5} ${HEAD - 1}V${foot}M${x0} ${HEAD - 0.5}h${axis}`,
      }),
    );
  }
  prices.forEach((each, k) => {
    const y = HEAD + k * row + lane;
    const middle = y + (row - lane) / 2;
    const { title, per, size } = each.lever;
    if (k > 0) marks.push(mark('path', { class: 'zero crisp', d: `M0 ${HEAD + k * row + 0.5}H${width}` }));
    marks.push(mark('text', { class: 'label halo', x: 0, y: narrow ? y - 20 : middle + 4 }, title));
    ENDS.forEach((end, n) => {
      const value = moved(each, end);
      if (Number.isNaN(value)) return;
      const [a, b] = [Math.min(zero, x(value)), Math.max(zero, x(value))];
      marks.push(
        mark('rect', {
          class: n === 0 ? 'in-hip' : 'second hip',
          x: round(a),
          y: round(middle - 9 + n * 10),
          width: round(Math.max(1, b - a)),
          height: 7,
        }),
      );
    });
    const told = `${priceOf(each.prescribed, size)} | ${priceOf(each.led, size)} J per ${per}`;
    const none = each.effect === 0;
    const at = { x: narrow ? 0 : x0 + axis + 14, y: narrow ? y - 5 : middle + 4 };
    const why = standsWords(each);
    const lines = none && roomy ? (why.length > LONGEST ? why.split('; ') : [why]) : ['no price'];
    marks.push(
      ...(none
        ? lines.map((line, n) =>
            mark('text', { class: 'gap', x: at.x, y: at.y + 12 * (n - (lines.length - 1) / 2) }, line),
          )
        : [
            mark(
              'text',
              { class: `${narrow ? 'unit' : 'label'} halo`, ...at },
              told,
              ...(roomy ? [mark('tspan', { class: 'unit', dx: 8 }, why)] : []),
            ),
          ]),
    );
  });
  return { marks, said: priceSaid(price), rows: () => priceRows(price) };
}

/** What is dearest, and what to measure first. */
export function priceSaid(price: WalkPrice | undefined): string {
  if (price === undefined) return 'Nothing has been moved yet.';
  const { prescribed, led } = price.ends;
  const [dearest] = price.prices.filter(({ effect }) => effect > 0);
  const [first] = price.tests;
  const parts = [
    `The hip gives ${fixed(prescribed.hip, 1)} J a stride with the thigh prescribed (full bars) and ${fixed(led.hip, 1)} J with the thigh led (open bars)`,
    dearest === undefined
      ? 'nothing has a price that stands'
      : `of all that was moved, ${dearest.lever.title} moves that most, by ${fixed(dearest.effect, 2)} J for ${significant(dearest.lever.spread / dearest.lever.size, 2)} × ${dearest.lever.per}`,
    ...(first === undefined ? [] : [`of the bench tests, ${first.test} narrows it most`]),
  ];
  return `${parts.join('; ')}.`;
}

const priceRows = (price: WalkPrice | undefined): Cell[][] => [
  [
    'more of',
    'per',
    'prescribed, J',
    'led, J',
    'spread',
    'from',
    'moves by, J',
    'bends by, J, prescribed',
    'bends by, J, led',
    'does it stand',
  ],
  ...(price?.prices ?? []).map((each): Cell[] => {
    const { title, per, size, spread, origin } = each.lever;
    const bend = (end: EndPrice): string => (end.noneBecause === undefined ? fixed(end.bend, 3) : GAP);
    return [
      title,
      per,
      priceOf(each.prescribed, size),
      priceOf(each.led, size),
      `${significant(spread / size, 2)} × ${per}`,
      origin === 'step' ? 'a step' : origin,
      each.effect > 0 ? fixed(each.effect, 3) : GAP,
      bend(each.prescribed),
      bend(each.led),
      standsWords(each),
    ];
  }),
];
