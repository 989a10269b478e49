import {
  type Leg,
  largestCurrent,
  SHOWN_MOMENT_SIGN,
  shownMoment,
  type WalkCurves,
  type WalkedJoint,
  type WalkPart,
} from '@striderule/engine';
import type { Along, Limit, Part, RuleModel, Scale, Series } from '../rule/scale.ts';
import { limitsOf } from '../show/ticks.ts';
import { degrees } from '../show/unit.ts';

type Tone = Series['tone'];
/** One curve of a scale: what it is of a stride, in the unit that is read. */
interface Line {
  readonly label: string;
  readonly weight: 'main' | 'asked' | 'human';
  readonly tone: Tone;
  readonly of: (curves: WalkCurves) => Float64Array;
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
    { label: 'reference', weight: 'human', tone: joint, of: (c) => c[joint].own.map(degrees) },
    { label: 'led to', weight: 'asked', tone: joint, of: (c) => c[joint].target.map(degrees) },
    { label: 'walked', weight: 'main', tone: joint, of: (c) => c[joint].angle.map(degrees) },
  ],
});

const torque = (joint: 'knee' | 'ankle'): Quantity => ({
  key: `${joint}-torque`,
  name: joint === 'knee' ? 'Knee torque' : 'Ankle torque',
  unit: 'N·m',
  note: sign(joint),
  decimals: 1,
  lines: [
    { label: 'commanded', weight: 'asked', tone: joint, of: (c) => c[joint].asked.map(shownMoment) },
    { label: 'delivered', weight: 'main', tone: joint, of: (c) => c[joint].torque.map(shownMoment) },
  ],
});

const both = (of: (curves: WalkedJoint) => Float64Array): Line[] =>
  (['knee', 'ankle'] as const).map((joint) => ({
    label: joint,
    weight: 'main',
    tone: joint,
    of: (c) => of(c[joint]),
  }));

/** What the rule stacks on Walk, in this order; torque, hip moment and current carry the shown sign. */
const QUANTITIES: readonly Quantity[] = [
  angle('knee'),
  angle('ankle'),
  torque('knee'),
  torque('ankle'),
  {
    ...{ key: 'power', name: 'Joint power', unit: 'W', note: 'generation +', decimals: 0 },
    lines: both((c) => c.power),
  },
  {
    ...{ key: 'ground-force', name: 'Ground force', unit: 'N', note: 'up +, forward +', decimals: 0 },
    lines: [
      { label: 'reference', weight: 'human', tone: 'force', of: (c) => c.ownUp },
      { label: 'forward', weight: 'asked', tone: 'force', of: (c) => c.forward },
      { label: 'up', weight: 'main', tone: 'force', of: (c) => c.up },
    ],
  },
  {
    ...{ key: 'thigh', name: 'Thigh', unit: '°', note: 'forward +', decimals: 1 },
    lines: [
      { label: 'reference', weight: 'human', tone: 'hip', of: (c) => c.ownThigh.map(degrees) },
      { label: 'walked', weight: 'main', tone: 'hip', of: (c) => c.thigh.map(degrees) },
    ],
  },
  {
    ...{ key: 'hip-moment', name: 'Hip moment', unit: 'N·m', note: sign('hip'), decimals: 1 },
    lines: [
      { label: 'reference', weight: 'human', tone: 'hip', of: (c) => c.ownHipMoment.map(shownMoment) },
      { label: 'wearer', weight: 'main', tone: 'hip', of: (c) => c.hipMoment.map(shownMoment) },
    ],
  },
  {
    ...{ key: 'current', name: 'Motor current', unit: 'A peak phase', note: 'as the torque', decimals: 1 },
    lines: both((c) => c.current.map(shownMoment)),
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
    lines: [{ label: '', weight: 'main', tone: 'ankle', of: (c) => c.forefoot.map(millimetres) }],
  },
];

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
}

/** One stride of a walk on the rule, the others thin under it; scales hold still while strides are picked. */
export function walkRuleModel({ title, leg, strides, chosen, along, kept }: WalkOnRule): RuleModel {
  return {
    title,
    ...along,
    laid: [],
    scales: QUANTITIES.map(({ lines, limits, ...head }): Scale => {
      const all = strides.map((curves) => lines.map((line) => line.of(curves)));
      const main = lines.filter(({ weight }) => weight === 'main');
      const ghost =
        kept === undefined
          ? []
          : main.map(
              ({ label, tone, of }): Series => ({
                key: `${label} kept`,
                label: main.length > 1 ? `${label}, kept` : 'kept',
                ...{ values: of(kept), weight: 'kept', tone },
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
          ...lines.map(({ label, weight, tone }, n) => ({
            ...{ key: `${label} ${weight}`, label, weight, tone },
            values: all[chosen]![n]!,
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
