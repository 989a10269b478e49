import {
  type DrivenJoint,
  LANDS_BENT,
  type LegPackOpen,
  type LossState,
  type LossVerdict,
  type ShortStates,
  SLOW_YIELD,
  type StrideDemand,
  type TradeRow,
} from '@striderule/engine';
import type { LossAnswer } from '../design/study-worker.ts';
import type { Drawn } from '../draw/instrument.tsx';
import { type Mark, mark, round } from '../draw/mark.ts';
import { frameFor } from '../rule/frame.ts';
import type { Cell } from '../show/csv.ts';
import { fixed, significant } from '../show/number.ts';
import { numerals } from '../show/ticks.ts';
import { degrees } from '../show/unit.ts';

/** What the drawing is of. */
export interface LossScene {
  readonly joint: DrivenJoint;
  readonly demand: StrideDemand;
  /** Threshold of the brake resistor, V, where there is one. */
  readonly threshold: number | undefined;
  /** Lines of the map and of the pack: known before the answers come, so that nothing moves when they do. */
  readonly lines: number;
  readonly tasks: number;
}

const TOP = 44;
const HEAD = 76;
const FOOT = 36;
const rowFor = (narrow: boolean): number => (narrow ? 33 : 18);

export const lossHeight = (width: number, { lines, tasks }: LossScene): number => {
  const row = rowFor(width < 640);
  return TOP + lines * row + HEAD + tasks * row + FOOT;
};

const UNSAFE: readonly LossVerdict[] = ['gives way', 'lands bent'];
const unsafe = ({ verdict }: LossState): boolean => UNSAFE.includes(verdict);

const shortName = (short: ShortStates['short']): string =>
  short === 'open' ? 'open' : short === 0 ? '0 Ω, shorted' : `${significant(short, 2)} Ω`;

const isTrade = (row: ShortStates | TradeRow): row is TradeRow => 'servesStance' in row;

const worth = (row: ShortStates | TradeRow): string => {
  if (!isTrade(row)) {
    const bad = row.states.filter(unsafe).length;
    return bad === 0 ? 'safe throughout' : `unsafe at ${bad}`;
  }
  if (row.servesStance) return row.servesSwing ? 'serves both' : 'serves stance';
  return row.servesSwing ? 'serves swing' : 'serves neither';
};

/** What the unpowered joint does at each 5 % of the stride over the resistance in its short; and the bus when the pack opens. */
export function drawLoss(
  width: number,
  scene: LossScene,
  shown: LossAnswer | undefined,
  saved: LossAnswer | undefined,
  percent: number,
): Drawn {
  const { demand, lines } = scene;
  const frame = frameFor(width, [], false);
  const { narrow, x0, axis } = frame;
  const row = rowFor(narrow);
  const x = (share: number) => x0 + (share * axis) / 100;
  const base = TOP + lines * row;
  const toeOff = round(x(100 * demand.stance));
  const marks: Mark[] = [
    mark('rect', { class: 'ground crisp', x: x0, y: TOP, width: round(toeOff - x0), height: lines * row }),
    mark('text', { class: 'unit', x: x0, y: TOP - 8 }, 'stance'),
    mark('text', { class: 'unit', x: toeOff + 4, y: TOP - 8 }, 'swing'),
    ...(narrow
      ? [mark('text', { class: 'name', x: 0, y: 14 }, 'Short, Ω each phase, over the stride, %')]
      : [
          mark('text', { class: 'name', x: 0, y: TOP - 20 }, 'In the short'),
          mark('text', { class: 'unit', x: 0, y: TOP - 6 }, 'Ω, each phase'),
        ]),
    mark('path', {
      class: 'tick2 crisp',
      d: Array.from({ length: 11 }, (_, k) => `M${Math.round(x(10 * k)) + 0.5} ${base}v8`).join(''),
    }),
    ...Array.from({ length: narrow ? 6 : 11 }, (_, k) => (narrow ? 20 : 10) * k).map((value) =>
      mark(
        'text',
        {
          class: 'numeral',
          x: round(x(value)),
          y: base + 20,
          'text-anchor': narrow && value === 0 ? 'start' : narrow && value === 100 ? 'end' : 'middle',
        },
        String(value),
      ),
    ),
    ...(narrow ? [] : [mark('text', { class: 'unit', x: 0, y: base + 20 }, 'Power lost at, % of stride')]),
  ];
  if (shown !== undefined && !('openBecause' in shown.rows))
    marks.push(...mapMarks(shown.rows, saved, { x, x0, axis, row, narrow }));
  marks.push(
    mark('path', {
      class: 'seam crisp',
      d: `M${x0 + 0.5} ${TOP}V${base + 0.5}H${x0 + axis + 0.5}V${TOP}M${Math.round(toeOff) + 0.5} ${TOP - 4}V${base}`,
    }),
    mark('path', { class: 'accent crisp', d: `M${Math.round(x(percent)) + 0.5} ${TOP - 4}V${base + 8}` }),
  );
  if (shown !== undefined)
    marks.push(...packMarks(shown.pack, saved, scene, base + HEAD, { x0, axis, row, narrow }));
  return { marks, said: lossSaid(scene, shown), rows: () => lossRows(shown) };
}

interface Place {
  readonly x0: number;
  readonly axis: number;
  readonly row: number;
  readonly narrow: boolean;
}

function mapMarks(
  rows: readonly ShortStates[] | readonly TradeRow[],
  saved: LossAnswer | undefined,
  { x, x0, axis, row, narrow }: Place & { readonly x: (percent: number) => number },
): Mark[] {
  const cellTop = (k: number) => TOP + k * row + (narrow ? 16 : 2);
  const tall = narrow ? row - 18 : row - 4;
  const paths = { solid: '', slats: '', half: '', calm: '', ghost: '' };
  const unknown: Mark[] = [];
  const before = saved === undefined || 'openBecause' in saved.rows ? undefined : saved.rows;
  rows.forEach(({ states, short }, k) => {
    const y = cellTop(k);
    const was = before?.find((each) => each.short === short);
    states.forEach((state, i) => {
      const [from, to] = [Math.round(x(state.percent)) + 1, Math.round(x(state.percent + 5)) - 1];
      const box = (top: number, h: number) => `M${from} ${top}H${to}v${h}H${from}Z`;
      if (state.verdict === 'gives way') paths.solid += box(y, tall);
      else if (state.verdict === 'lands bent')
        for (let at = from; at + 2 <= to; at += 4) paths.slats += `M${at} ${y}h2v${tall}h-2Z`;
      else if (state.verdict === 'yields') paths.half += box(y + tall - 4, 4);
      else if (state.verdict === 'unknown')
        unknown.push(
          mark('text', { class: 'unit', x: (from + to) / 2, y: y + tall - 2, 'text-anchor': 'middle' }, '?'),
        );
      else paths.calm += `M${(from + to) / 2 - 3} ${y + tall / 2 + 0.5}h6`;
      const then = was?.states[i];
      if (then !== undefined && unsafe(then) !== unsafe(state))
        paths.ghost += `M${(from + to) / 2} ${y + tall / 2 - 4}l4 4l-4 4l-4 -4Z`;
    });
  });
  return [
    mark('path', { class: 'tick0', d: paths.calm }),
    mark('path', { class: 'in-thin', d: paths.half }),
    mark('path', { class: 'in-ink', d: paths.slats }),
    mark('path', { class: 'in-ink', d: paths.solid }),
    ...unknown,
    ...(paths.ghost === '' ? [] : [mark('path', { class: 'ghost', d: paths.ghost })]),
    ...rows.flatMap((each, k): Mark[] => {
      const y = cellTop(k) + (narrow ? -4 : tall - 2);
      const name = `${shortName(each.short)}${each.own ? ', leg file' : ''}`;
      const style = each.own ? 'label strong' : 'label';
      return [
        mark('text', { class: `${style} halo`, x: narrow ? x0 + 2 : 0, y }, name),
        mark(
          'text',
          {
            class: `${worth(each) === 'serves both' || worth(each) === 'safe throughout' ? 'label strong' : 'label'} halo`,
            x: narrow ? x0 + axis - 2 : x0 + axis + 8,
            y,
            'text-anchor': narrow ? 'end' : 'start',
          },
          worth(each),
        ),
        ...(each.own
          ? [
              mark('path', {
                class: 'edge crisp',
                d: `M${x0 - 4} ${cellTop(k) - 1.5}H${x0 + axis + 4}V${cellTop(k) + tall + 1.5}H${x0 - 4}Z`,
              }),
            ]
          : []),
      ];
    }),
  ];
}

/** The bus in each task when the pack opens at its worst instant: from the pack's voltage to the peak. */
function packMarks(
  pack: LossAnswer['pack'],
  saved: LossAnswer | undefined,
  { threshold, tasks }: LossScene,
  top: number,
  { x0, axis, row, narrow }: Place,
): Mark[] {
  const title = [
    mark('text', { class: 'name', x: 0, y: top - (narrow ? 32 : 22) }, 'Bus when the pack opens'),
    mark(
      'text',
      {
        class: 'unit',
        x: narrow ? x0 + axis : 0,
        y: top - (narrow ? 32 : 8),
        'text-anchor': narrow ? 'end' : 'start',
      },
      'V, at its worst instant',
    ),
  ];
  if ('openBecause' in pack)
    return [...title, mark('text', { class: 'gap', x: x0, y: top + 14 }, `Not known: ${pack.openBecause}.`)];
  const base = top + tasks * row;
  const most = Math.max(pack.overVoltage ?? 0, threshold ?? 0, ...pack.tasks.map(({ bus }) => bus.voltage));
  const low = 0.9 * pack.voltage;
  const high = Math.max(1.1 * most, 1.1 * pack.voltage);
  const x = (volts: number) => x0 + (axis * (volts - low)) / (high - low);
  const before = saved === undefined || 'openBecause' in saved.pack ? undefined : saved.pack;
  const limits: readonly (readonly [string, number | undefined])[] = [
    ['pack', pack.voltage],
    ['resistor on', threshold],
    ['over-voltage', pack.overVoltage],
  ];
  return [
    ...title,
    ...limits.flatMap(([name, volts]) =>
      volts === undefined
        ? []
        : [
            mark('path', {
              class: name === 'over-voltage' ? 'edge crisp' : 'limit',
              d: `M${Math.round(x(volts)) + 0.5} ${top - 6}V${base}`,
            }),
            mark(
              'text',
              { class: 'label halo', x: round(x(volts)), y: top - 10, 'text-anchor': 'middle' },
              `${narrow ? name.replace('over-voltage', 'limit') : name} ${fixed(volts, 1)}`,
            ),
          ],
    ),
    ...pack.tasks.flatMap(({ id, title: name, bus }, k): Mark[] => {
      const y = top + k * row + (narrow ? 22 : 9);
      const over = pack.overVoltage !== undefined && bus.voltage > pack.overVoltage;
      const without = bus.withoutResistor;
      const outside = x(without) > x0 + axis;
      const was = before?.tasks.find((task) => task.id === id)?.bus.voltage;
      return [
        mark('path', {
          class: 'curve ink heavy',
          d: `M${round(x(pack.voltage))} ${y}H${round(x(bus.voltage))}m0 -4v8`,
        }),
        ...(without === bus.voltage || outside
          ? []
          : [mark('circle', { class: 'pin', cx: round(x(without)), cy: y, r: 3 })]),
        ...(was === undefined || Math.abs(was - bus.voltage) < 0.05
          ? []
          : [mark('path', { class: 'ghost', d: `M${round(x(was))} ${y + 2}l-3.5 6h7z` })]),
        mark('text', { class: 'label halo', x: narrow ? x0 + 2 : 0, y: narrow ? y - 7 : y + 4 }, name),
        mark(
          'text',
          {
            class: over ? 'label strong halo' : 'label halo',
            x: narrow ? x0 + axis - 2 : x0 + axis + 8,
            y: narrow ? y - 7 : y + 4,
            'text-anchor': narrow ? 'end' : 'start',
          },
          `${fixed(bus.voltage, 1)}${without === bus.voltage ? '' : `, bare ${fixed(without, 0)}`}`,
        ),
      ];
    }),
    mark('path', { class: 'seam crisp', d: `M${x0} ${base + 0.5}H${x0 + axis + 1}` }),
    ...numerals(low, high, narrow ? 5 : 8)
      .filter((value) => value >= low)
      .flatMap((value) => [
        mark('path', { class: 'tick2 crisp', d: `M${Math.round(x(value)) + 0.5} ${base}v8` }),
        mark(
          'text',
          { class: 'numeral', x: round(x(value)), y: base + 20, 'text-anchor': 'middle' },
          fixed(value, 0),
        ),
      ]),
  ];
}

function packSaid(pack: LegPackOpen): string {
  const [worst] = pack.tasks;
  if (worst === undefined)
    return 'The bus when the pack opens is not known: no task has moments of every joint.';
  const limit = pack.overVoltage === undefined ? 'limit unknown' : `limit ${fixed(pack.overVoltage, 1)} V`;
  const beyond =
    pack.beyondReach.length === 0
      ? ''
      : `; not known in ${pack.beyondReach.join(', ')}, beyond what the motor gives`;
  return `When the pack opens the bus rises to at most ${fixed(worst.bus.voltage, 1)} V, in ${worst.title}, ${limit}${beyond}.`;
}

function lossSaid({ joint, demand }: LossScene, shown: LossAnswer | undefined): string {
  if (shown === undefined) return `Working out what the unpowered ${joint} does …`;
  const { rows, pack, ratio } = shown;
  const bus = 'openBecause' in pack ? `The bus is open: ${pack.openBecause}.` : packSaid(pack);
  if ('openBecause' in rows) return `Loss of power of the ${joint} is open: ${rows.openBecause}. ${bus}`;
  const own = (rows as readonly (ShortStates | TradeRow)[]).find((row) => row.own);
  const trade = (rows as readonly (ShortStates | TradeRow)[]).filter(isTrade);
  const served = (keep: (row: TradeRow) => boolean) =>
    trade.filter(keep).map(({ short }) => shortName(short));
  const both = served((row) => row.servesStance && row.servesSwing);
  const verdict =
    trade.length === 0
      ? ''
      : both.length > 0
        ? `Stance and swing are both served by ${both.join(', ')}. `
        : `No single resistance serves both: stance is served by ${served((row) => row.servesStance).join(', ') || 'none'}, swing by ${served((row) => row.servesSwing).join(', ') || 'none'}. `;
  const count = (verdictOf: LossVerdict) =>
    own?.states.filter((state) => state.verdict === verdictOf).length ?? 0;
  const file =
    own === undefined
      ? 'The leg file does not say what the phases do when power is lost: add `lossOfPower` under `electronics`. '
      : `The leg file’s ${shortName(own.short)}, at ${fixed(ratio, 1)} : 1, gives way at ${count('gives way')}${joint === 'knee' ? ` and lands bent at ${count('lands bent')}` : ''} of ${own.states.length} instants of ${demand.task.title}. `;
  return `${verdict}${file}${bus}`;
}

function lossRows(shown: LossAnswer | undefined): Cell[][] {
  if (shown === undefined) return [['not worked out yet']];
  const { rows, pack } = shown;
  const map: Cell[][] =
    'openBecause' in rows
      ? []
      : (rows as readonly (ShortStates | TradeRow)[]).flatMap((row) =>
          row.states.map((state): Cell[] => [
            `${shortName(row.short)}${row.own ? ', leg file' : ''}`,
            state.percent,
            state.phase,
            state.load,
            degrees(state.yieldSpeed),
            state.flexionLeft === undefined ? null : degrees(state.flexionLeft),
            state.verdict,
          ]),
        );
  const bus: Cell[][] =
    'openBecause' in pack
      ? []
      : pack.tasks.map(({ title, opensAt, bus: { voltage, withoutResistor } }): Cell[] => [
          `pack opens, ${title}`,
          opensAt,
          'bus',
          null,
          null,
          null,
          `${fixed(voltage, 1)} V; without resistor ${fixed(withoutResistor, 1)} V`,
        ]);
  return [
    [
      'in the short',
      'lost at, %',
      'phase',
      'load, N·m, + bends or lifts',
      'gives at, °/s',
      'flexion left at contact, °',
      'verdict',
    ],
    ...map,
    ...bus,
  ];
}

/** The two thresholds, as they are said. */
export const THRESHOLDS = `at ${fixed(degrees(SLOW_YIELD), 0)} °/s at most, and a landing with at most ${fixed(degrees(LANDS_BENT), 0)}° more flexion`;
