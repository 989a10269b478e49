import {
  type Leg,
  largestCurrent,
  SHOWN_MOMENT_SIGN,
  shownMoment,
  type WalkCurves,
  type WalkedJoint,
  type WalkedQuantities,
  type WalkInstant,
  type WalkPart,
} from '@striderule/engine';
import type { Along, Limit, Part, RuleModel, Scale, Series } from '../rule/scale.ts';
import { limitsOf } from '../show/ticks.ts';
import { degrees } from '../show/unit.ts';

type Tone = Series['tone'];
/** One curve of a scale: which quantity of a walk it is, and that in the unit that is read; left out: as it is. */
interface Line {
  readonly label: string;
  readonly weight: 'main' | 'asked' | 'human';
  readonly tone: Tone;
  readonly of: <Of>(walked: WalkedQuantities<Of>) => Of;
  readonly shown?: (value: number) => number;
}

interface Quantity extends Pick<Scale, 'key' | 'name' | 'unit' | 'note' | 'decimals'> {
  readonly lines: readonly Line[];
  readonly limits?: (leg: Leg) => readonly Limit[];
}

const sign = (joint: 'hip' | 'knee' | 'ankle'): string => SHOWN_MOMENT_SIGN[joint].replace('positive', '+');
const millimetres = (x: number): number => 1e3 * x;

const angle = (joint: 'knee' | 'ankle'): Quantity => ({
  key: `${joint}-angle`,
  name: joint === 'knee' ? 'Knee angle' : 'Ankle angle',
  unit: '°',
  note: joint === 'knee' ? 'flexion +' : 'dorsiflexion +',
  decimals: 1,
  lines: [
    { label: 'reference', weight: 'human', tone: joint, of: (w) => w[joint].own, shown: degrees },
    { label: 'swing target', weight: 'asked', tone: joint, of: (w) => w[joint].target, shown: degrees },
    { label: 'walked', weight: 'main', tone: joint, of: (w) => w[joint].angle, shown: degrees },
  ],
});

const torque = (joint: 'knee' | 'ankle'): Quantity => ({
  key: `${joint}-torque`,
  name: joint === 'knee' ? 'Knee torque' : 'Ankle torque',
  unit: 'N·m',
  note: sign(joint),
  decimals: 1,
  lines: [
    { label: 'commanded', weight: 'asked', tone: joint, of: (w) => w[joint].asked, shown: shownMoment },
    { label: 'delivered', weight: 'main', tone: joint, of: (w) => w[joint].torque, shown: shownMoment },
  ],
});

const both = (of: <Of>(joint: WalkedJoint<Of>) => Of, shown?: Line['shown']): Line[] =>
  (['knee', 'ankle'] as const).map((joint) => ({
    label: joint,
    weight: 'main',
    tone: joint,
    of: (w) => of(w[joint]),
    ...(shown !== undefined && { shown }),
  }));

/** What the rule stacks on Walk, in this order; torque, hip moment and current carry the shown sign. */
const QUANTITIES: readonly Quantity[] = [
  angle('knee'),
  angle('ankle'),
  torque('knee'),
  torque('ankle'),
  {
    ...{ key: 'power', name: 'Joint power', unit: 'W', note: 'generation +', decimals: 0 },
    lines: both((of) => of.power),
  },
  {
    ...{ key: 'ground-force', name: 'Ground force', unit: 'N', note: 'up +, forward +', decimals: 0 },
    lines: [
      { label: 'reference', weight: 'human', tone: 'force', of: (w) => w.ownUp },
      { label: 'forward', weight: 'asked', tone: 'force', of: (w) => w.forward },
      { label: 'up', weight: 'main', tone: 'force', of: (w) => w.up },
    ],
  },
  {
    ...{ key: 'thigh', name: 'Thigh', unit: '°', note: 'forward +', decimals: 1 },
    lines: [
      { label: 'reference', weight: 'human', tone: 'hip', of: (w) => w.ownThigh, shown: degrees },
      { label: 'walked', weight: 'main', tone: 'hip', of: (w) => w.thigh, shown: degrees },
    ],
  },
  {
    ...{ key: 'hip-moment', name: 'Hip moment', unit: 'N·m', note: sign('hip'), decimals: 1 },
    lines: [
      { label: 'reference', weight: 'human', tone: 'hip', of: (w) => w.ownHipMoment, shown: shownMoment },
      { label: 'wearer', weight: 'main', tone: 'hip', of: (w) => w.hipMoment, shown: shownMoment },
    ],
  },
  {
    ...{ key: 'current', name: 'Motor current', unit: 'A peak phase', note: 'as the torque', decimals: 1 },
    lines: both((of) => of.current, shownMoment),
    limits: ({ joints }) =>
      [
        ...new Set(
          [joints.knee, joints.ankle].flatMap((drive) =>
            drive === undefined ? [] : [largestCurrent(drive)],
          ),
        ),
      ].flatMap((most) => [
        { value: most, label: `limit ${most.toFixed(1)}` },
        { value: -most, label: `limit ${most.toFixed(1)}` },
      ]),
  },
  {
    ...{ key: 'forefoot', name: 'Forefoot', unit: 'mm', note: 'over the ground', decimals: 0 },
    lines: [{ label: '', weight: 'main', tone: 'ankle', of: (w) => w.forefoot, shown: millimetres }],
  },
];

const valuesOf = ({ of, shown }: Line, curves: WalkCurves): Float64Array =>
  shown === undefined ? of(curves) : of(curves).map(shown);

/** Parts of a walk as shares of what is shown: those of one name look alike, and those of one tint each have a weave of their own. */
export function partsOf(parts: readonly WalkPart[], from: number, rows: number): Part[] {
  const known: { readonly [tint in WalkPart['held']]: string[] } = { stance: [], swing: [], safe: [] };
  return parts.map((part) => {
    const names = known[part.held];
    if (!names.includes(part.name)) names.push(part.name);
    return {
      name: part.name,
      from: (part.from - from) / rows,
      to: (part.to - from) / rows,
      look: { tint: part.held, weave: names.indexOf(part.name) },
    };
  });
}

interface WalkOnRule {
  readonly title: string;
  readonly leg: Leg;
  readonly strides: readonly WalkCurves[];
  /** From 0. */
  readonly chosen: number;
  readonly along: Along;
  /** A stride of the walk that is kept. */
  readonly kept: WalkCurves | undefined;
  /** The chosen stride at the tick that is nearest to a place, per cent: what the hairline reads. */
  readonly instant: (percent: number) => WalkInstant;
}

/** One stride of a walk on the rule, the others thin under it; scales hold still while strides are picked. */
export function walkRuleModel({ title, leg, strides, chosen, along, kept, instant }: WalkOnRule): RuleModel {
  return {
    title,
    ...along,
    laid: [],
    scales: QUANTITIES.map(({ lines, limits, ...head }): Scale => {
      const all = strides.map((curves) => lines.map((line) => valuesOf(line, curves)));
      const main = lines.filter(({ weight }) => weight === 'main');
      const ghost =
        kept === undefined
          ? []
          : main.map(
              (line): Series => ({
                key: `${line.label} kept`,
                label: main.length > 1 ? `${line.label}, kept` : 'kept',
                ...{ values: valuesOf(line, kept), weight: 'kept', tone: line.tone },
              }),
            );
      const crowd = strides.flatMap((_, k) =>
        k === chosen
          ? []
          : lines.flatMap((line, n): Series[] =>
              line.weight === 'main'
                ? [
                    {
                      key: `${line.label} ${k + 1}`,
                      label: '',
                      values: all[k]![n]!,
                      weight: 'crowd',
                      tone: line.tone,
                    },
                  ]
                : [],
            ),
      );
      return {
        ...head,
        ...limitsOf(everyValue([...all, ghost.map(({ values }) => values)])),
        series: [
          ...crowd,
          ...ghost,
          ...lines.map(({ label, weight, tone, of, shown = (value) => value }, n) => ({
            ...{ key: `${label} ${weight}`, label, weight, tone },
            values: all[chosen]![n]!,
            read: (percent: number) => shown(of(instant(percent))),
          })),
        ],
        limits: limits?.(leg) ?? [],
      };
    }),
  };
}

function* everyValue(all: readonly (readonly ArrayLike<number>[])[]): Generator<number> {
  for (const stride of all)
    for (const values of stride) for (let i = 0; i < values.length; i++) yield values[i]!;
}
