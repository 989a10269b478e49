import {
  type ChannelName,
  type JointName,
  SHOWN_MOMENT_SIGN,
  type Stride,
  sampleCurve,
  shownMoment,
} from '@striderule/engine';
import type { RecordingChecked } from '@striderule/wire';
import type { RuleModel, Scale, Series } from '../rule/scale.ts';
import { limitsOf } from '../show/ticks.ts';
import { degrees } from '../show/unit.ts';
import { CHANNELS } from './recipe-form.ts';

type Curve = (stride: Stride) => ArrayLike<number> | undefined;

/** How a channel is drawn: its unit, which way is up, and the same curve of a published stride. */
interface Drawn {
  readonly unit: string;
  readonly note: string;
  readonly decimals: number;
  readonly tone: Series['tone'];
  readonly of: (value: number) => number;
  readonly reference: Curve;
}

const same = (value: number): number => value;

function drawnAs(name: ChannelName): Drawn | undefined {
  const [group, part] = name.split('.') as [string, string];
  if (group === 'thigh')
    return {
      unit: '°',
      note: 'forward +',
      decimals: 1,
      tone: 'hip',
      of: degrees,
      reference: ({ thigh }) => thigh && sampleCurve(thigh).value,
    };
  if (group === 'groundForce')
    return {
      unit: 'body weights',
      note: part === 'vertical' ? 'up +' : 'forward +',
      decimals: 2,
      tone: 'force',
      of: same,
      reference: ({ groundForce }) =>
        groundForce && sampleCurve(groundForce[part as 'vertical' | 'foreAft']).value,
    };
  const joint = group as JointName;
  if (part === 'angle')
    return {
      unit: '°',
      note: joint === 'ankle' ? 'dorsiflexion +' : 'flexion +',
      decimals: 1,
      tone: joint,
      of: degrees,
      reference: ({ joints }) => joints[joint] && sampleCurve(joints[joint].angle).value,
    };
  if (part === 'moment')
    return {
      unit: 'N·m/kg',
      note: SHOWN_MOMENT_SIGN[joint].replace('positive', '+'),
      decimals: 2,
      tone: joint,
      of: shownMoment,
      reference: ({ joints }) => {
        const moment = joints[joint]?.moment;
        return moment && sampleCurve(moment).value;
      },
    };
  // a witness for moment × speed, checked by number
  return undefined;
}

const DRAWN = CHANNELS.flatMap(({ name }) => drawnAs(name) ?? []);

/** The published stride that shows the most of what is drawn, level walking before others: signs are the same in all. */
export function referenceFor(strides: { readonly [id: string]: Stride }): Stride | undefined {
  const shows = (stride: Stride): number =>
    DRAWN.filter(({ reference }) => reference(stride) !== undefined).length +
    (stride.activity === 'level walking' ? 0.5 : 0);
  return Object.values(strides)
    .filter(({ origin }) => origin.status === 'seen' || origin.status === 'derived')
    .toSorted((a, b) => shows(b) - shows(a))[0];
}

/** The recorded curves on one rule, each with the published stride behind it: what is the other way up is seen. */
export function signRule(
  { curves, stance }: RecordingChecked,
  reference: Stride | undefined,
  flipped: readonly string[],
): RuleModel {
  const scales = CHANNELS.flatMap(({ name, title }): Scale[] => {
    const drawn = drawnAs(name);
    const own = curves.find(({ channel }) => channel === name);
    if (drawn === undefined || own === undefined) return [];
    const values = own.values.map(drawn.of);
    const there = reference === undefined ? undefined : drawn.reference(reference);
    const behind = there === undefined ? [] : Array.from(there, drawn.of);
    return [
      {
        key: name,
        name: title
          .replace(/, internal| against the vertical/, '')
          .replace('Ground force, vertical', 'Ground force up')
          .replace('Ground force, fore', 'Force fore'),
        unit: drawn.unit,
        note: drawn.note,
        ...limitsOf([...values, ...behind]),
        series: [
          ...(behind.length === 0
            ? []
            : [
                {
                  key: 'reference',
                  label: 'published',
                  values: behind,
                  weight: 'ghost' as const,
                  tone: drawn.tone,
                },
              ]),
          {
            key: 'recorded',
            label: flipped.includes(name) ? 'looks flipped' : 'recorded',
            values,
            weight: 'main',
            tone: drawn.tone,
          },
        ],
        limits: [],
        decimals: drawn.decimals,
      },
    ];
  });
  return {
    title: 'The recording as it is read',
    stance: stance ?? reference?.stance ?? 0.6,
    scales,
    laid: [],
  };
}
