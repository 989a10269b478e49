import { type EndPrice, type LeverPrice, PRICE_NOTES, type WalkPrice } from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { table } from './table.ts';

/** One line: what is dearest, and what to measure first. */
export function priceVerdict({ ends, prices, tests }: WalkPrice): string {
  const { prescribed, led } = ends;
  const [dearest] = prices.filter(({ effect }) => effect > 0);
  const [first] = tests;
  const hip = `The hip gives ${fixed(prescribed.hip, 1)} J a stride with the thigh prescribed and ${fixed(led.hip, 1)} J with the thigh led`;
  const most =
    dearest === undefined
      ? 'nothing has a price that stands'
      : `of all that was moved, ${dearest.lever.title} moves that most, by ${fixed(dearest.effect, 2)} J for ${spreadText(dearest)}`;
  const test = first === undefined ? '' : `; of the bench tests, ${first.test} narrows it most`;
  return paragraph(`${hip}; ${most}${test}.`);
}

const signed = (value: number): string => `${value > 0 ? '+' : ''}${significant(value, 3)}`;
const cell = (end: EndPrice, size: number): string =>
  end.noneBecause === undefined ? signed(end.narrow * size) : 'none';
const bend = (end: EndPrice): string => (end.noneBecause === undefined ? fixed(end.bend, 3) : GAP);
const ORIGIN = { 'leg file': 'leg file', typical: 'typical', step: 'a step' } as const;
const spreadText = ({ lever }: LeverPrice): string =>
  `${significant(lever.spread / lever.size, 2)} × ${lever.per}`;

/** What has no price, by why, as a list. */
function unpriced(prices: readonly LeverPrice[]): string[] {
  const by = new Map<string, string[]>();
  for (const { lever, ...of } of prices)
    for (const thigh of ['prescribed', 'led'] as const) {
      const why = of[thigh].noneBecause;
      if (why !== undefined) by.set(why, [...(by.get(why) ?? []), `${lever.title} (${thigh})`]);
    }
  return by.size === 0 ? [] : [list([...by].map(([why, of]) => `No price, ${why}: ${of.join('; ')}.`))];
}

/** The price list, what has no price and why, bench tests, notes, cautions. */
export function priceText(price: WalkPrice): string {
  const { prices, ends, tests, speed } = price;
  return [
    [
      `Positive hip work at ${fixed(speed, 2)} m/s, J a stride, at unchanged thigh motion; length of the stride: not predicted`,
      table(
        [
          { head: 'more of', align: 'left' },
          { head: 'per', align: 'left' },
          { head: 'prescribed', unit: 'J' },
          { head: 'led', unit: 'J' },
          { head: 'spread', align: 'left' },
          { head: 'from', align: 'left' },
          { head: 'moves by', unit: 'J' },
          { head: 'bends by', unit: 'J, prescribed' },
          { head: '', unit: 'led' },
        ],
        prices.map((each) => [
          each.lever.title,
          each.lever.per,
          cell(each.prescribed, each.lever.size),
          cell(each.led, each.lever.size),
          spreadText(each),
          ORIGIN[each.lever.origin],
          each.effect > 0 ? fixed(each.effect, 3) : GAP,
          bend(each.prescribed),
          bend(each.led),
        ]),
      ),
    ].join('\n'),
    ...unpriced(prices),
    tests.length === 0
      ? 'No bench test narrows it: nothing that can be measured has a price.'
      : [
          'What a bench test would take off the variance of hip work, of all that can be measured and has a price',
          table(
            [
              { head: 'bench test', align: 'left' },
              { head: 'prescribed', unit: '%' },
              { head: 'led', unit: '%' },
            ],
            tests.map(({ test, prescribed, led }) => [test, fixed(100 * prescribed, 0), fixed(100 * led, 0)]),
          ),
        ].join('\n'),
    list([
      `Steady: of ${price.strides} strides the last ${price.counted} are counted; their hip work differs by ${fixed(1e3 * ends.prescribed.uneven, 0)} mJ with the thigh prescribed and ${fixed(1e3 * ends.led.uneven, 0)} mJ with the thigh led. ${price.walks} walks; the energy missed at most ${fixed(100 * price.audit, 2)} % of the work moved.`,
      ...PRICE_NOTES,
      ...price.notes,
    ]),
    CAUTION,
  ].join('\n\n');
}
