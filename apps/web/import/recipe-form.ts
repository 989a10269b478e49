import type { ChannelName, Recipe } from '@striderule/engine';
import type { SeemingLayout } from '@striderule/wire';

/** How one column is read. */
export interface Mapped {
  /** Name of the column; empty: the recording has none. */
  readonly column: string;
  readonly unit: string;
  readonly positive: string;
}

/** A quantity that a recording may hold, with what its column may be in. The first of each is proposed. */
export interface ChannelField {
  readonly name: ChannelName;
  readonly title: string;
  readonly units: readonly string[];
  readonly signs: readonly [string, string];
}

const ANGLES = ['deg', 'rad'];
const MOMENTS = ['N*m/kg', 'N*m', 'N*mm/kg', 'N*mm'];
const FORCES = ['N', 'BW', '%BW', 'N/kg'];
const FLEXING = ['flexion', 'extension'] as const;
const ANKLE = ['dorsiflexion', 'plantarflexion'] as const;
const GENERATION = ['generation', 'absorption'] as const;

const joint = (name: 'hip' | 'knee' | 'ankle', signs: readonly [string, string]): readonly ChannelField[] => {
  const title = name.charAt(0).toUpperCase() + name.slice(1);
  return [
    { name: `${name}.angle`, title: `${title} angle`, units: ANGLES, signs },
    { name: `${name}.moment`, title: `${title} moment, internal`, units: MOMENTS, signs },
    { name: `${name}.power`, title: `${title} power`, units: ['W/kg', 'W'], signs: GENERATION },
  ];
};

/** In the order of the recipe. */
export const CHANNELS: readonly ChannelField[] = [
  ...joint('hip', FLEXING),
  ...joint('knee', FLEXING),
  ...joint('ankle', ANKLE),
  { name: 'thigh.angle', title: 'Thigh against the vertical', units: ANGLES, signs: ['forward', 'backward'] },
  { name: 'groundForce.vertical', title: 'Ground force, vertical', units: FORCES, signs: ['up', 'down'] },
  {
    name: 'groundForce.foreAft',
    title: 'Ground force, fore and aft',
    units: FORCES,
    signs: ['forward', 'backward'],
  },
];

/** A recipe as it is filled in. Texts are as they were typed: what is wrong with them, the check says. */
export interface RecipeForm {
  readonly layout: SeemingLayout;
  readonly clock: 'time' | 'percent';
  readonly clockColumn: string;
  readonly timeUnit: 's' | 'ms';
  readonly strideTime: string;
  /** Empty: the whole file is one stride. */
  readonly strideColumn: string;
  readonly strideEnds: Recipe['strideEnds'];
  /** A share, or the force below which the foot is off the ground. */
  readonly stance: string;
  readonly speed: string;
  /** Slope of the ground, up ahead positive. */
  readonly incline: string;
  readonly bodyMass: string;
  readonly cutOff: string;
  readonly channels: { readonly [name in ChannelName]?: Mapped };
  /** Lines of the recipe that the form has no field for. */
  readonly more: string;
  readonly task: string;
  readonly title: string;
}

/** As YAML reads it back, whatever stands in it. */
const quoted = (text: string): string => JSON.stringify(text);

const line = (key: string, text: string): string[] =>
  text.trim() === '' ? [] : [`${key}: ${quoted(text.trim())}`];

const mapped = ({ column, unit, positive }: Mapped): string =>
  `{ column: ${quoted(column)}, unit: ${quoted(unit)}, positive: ${positive} }`;

/** The recipe that the form says, as it will stand in the task. */
export function recipeText(form: RecipeForm): string {
  const { layout, channels } = form;
  const groups = ['hip', 'knee', 'ankle', 'groundForce'].flatMap((group) => {
    const own = CHANNELS.flatMap(({ name }) => {
      const [of, part] = name.split('.');
      const column = channels[name];
      return of === group && column !== undefined && column.column !== ''
        ? [`  ${part}: ${mapped(column)}`]
        : [];
    });
    return own.length === 0 ? [] : [`${group}:`, ...own];
  });
  const thigh = channels['thigh.angle'];
  const force = /[kK]?N$/.test(form.stance.trim());
  return [
    `delimiter: ${quoted(layout.delimiter)}`,
    `decimal: ${quoted(layout.decimal)}`,
    `namesLine: ${layout.namesLine}`,
    `dataLine: ${layout.dataLine}`,
    ...(form.clockColumn === ''
      ? []
      : form.clock === 'time'
        ? [`time: { column: ${quoted(form.clockColumn)}, unit: ${form.timeUnit} }`]
        : [`percent: ${quoted(form.clockColumn)}`, ...line('strideTime', form.strideTime)]),
    ...(form.strideColumn === ''
      ? []
      : [`stride: ${quoted(form.strideColumn)}`, `strideEnds: ${form.strideEnds}`]),
    ...(force ? [`stance: { forceBelow: ${quoted(form.stance.trim())} }`] : line('stance', form.stance)),
    ...line('speed', form.speed),
    ...line('incline', form.incline),
    ...line('bodyMass', form.bodyMass),
    ...line('cutOff', form.cutOff),
    ...groups,
    ...(thigh === undefined || thigh.column === '' ? [] : [`thigh: ${mapped(thigh)}`]),
    ...(form.more.trim() === '' ? [] : [form.more.trimEnd()]),
    '',
  ].join('\n');
}

/** The form with one column read the other way round. */
export function turned(form: RecipeForm, name: ChannelName): RecipeForm {
  const field = CHANNELS.find((each) => each.name === name);
  const column = form.channels[name];
  if (field === undefined || column === undefined) return form;
  const [one, other] = field.signs;
  const positive = column.positive === one ? other : one;
  return { ...form, channels: { ...form.channels, [name]: { ...column, positive } } };
}
