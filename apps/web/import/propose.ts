import type { ChannelName } from '@striderule/engine';
import type { CsvPreview } from '@striderule/wire';
import { CHANNELS, type ChannelField, type Mapped, type RecipeForm } from './recipe-form.ts';

// What column names seem to say. Shown beside the first rows and free to be changed; the checks then look at the numbers.

/** A name that holds all of one of these rows of words seems to be the quantity. */
const WORDS: { readonly [name in ChannelName]: readonly RegExp[] } = {
  'hip.angle': [/hip/i, /ang|flex/i],
  'hip.moment': [/hip/i, /mom|torq/i],
  'hip.power': [/hip/i, /pow/i],
  'knee.angle': [/knee/i, /ang|flex/i],
  'knee.moment': [/knee/i, /mom|torq/i],
  'knee.power': [/knee/i, /pow/i],
  'ankle.angle': [/ankle/i, /ang|flex/i],
  'ankle.moment': [/ankle/i, /mom|torq/i],
  'ankle.power': [/ankle/i, /pow/i],
  'thigh.angle': [/thigh/i],
  'groundForce.vertical': [/^f_?z\b|vert/i],
  'groundForce.foreAft': [/^f_?x\b|fore|ap\b/i],
};

const holding = (names: readonly string[], words: readonly RegExp[]): string =>
  names.find((name) => words.every((word) => word.test(name))) ?? '';

/** The unit that stands in a name, as `Knee moment [Nm]` says N*m; the first of those it may be where none does. */
function unitIn(name: string, { units }: ChannelField): string {
  const said = name.replaceAll(/[\s*·.]/g, '').toLowerCase();
  const spelt = (unit: string): string => unit.replaceAll('*', '').toLowerCase();
  const found = units
    .toSorted((a, b) => b.length - a.length)
    .find((unit) => said.includes(`[${spelt(unit)}]`) || said.includes(`(${spelt(unit)})`));
  return found ?? units[0]!;
}

/** A first filling-in of the form for a file, from its names alone; the column of strides or time too. */
export function proposed({ layout, names }: CsvPreview, fileName: string): RecipeForm {
  const channels = Object.fromEntries(
    CHANNELS.map((field): [ChannelName, Mapped] => {
      const column = holding(names, WORDS[field.name]);
      return [field.name, { column, unit: unitIn(column, field), positive: field.signs[0] }];
    }),
  );
  const time = holding(names, [/time|^t\b/i]);
  const percent = holding(names, [/%|percent|per cent/i]);
  const perCent = time === '' && percent !== '';
  return {
    layout,
    clock: perCent ? 'percent' : 'time',
    clockColumn: perCent ? percent : time,
    timeUnit: /\bms\b/.test(time) ? 'ms' : 's',
    strideTime: '',
    strideColumn: names.find((name) => /stride|cycle/i.test(name) && name !== time && name !== percent) ?? '',
    strideEnds: 'next row',
    stance: '',
    speed: '',
    incline: '',
    bodyMass: '',
    cutOff: '',
    channels,
    more: '',
    ...named(fileName),
  };
}

/** An id and a title for the task, from the file's name. */
function named(fileName: string): { task: string; title: string } {
  const stem = fileName.replace(/\.[^.]*$/, '');
  const task = stem
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-+|-+$/g, '');
  return { task: task.slice(0, 60), title: stem.replaceAll(/[-_]+/g, ' ').trim() };
}

/** What was filled in before, for another file with the same names: its columns where they are still there. */
export function carried(form: RecipeForm, { layout, names }: CsvPreview): RecipeForm {
  const still = (column: string): string => (names.includes(column) ? column : '');
  return {
    ...form,
    layout,
    clockColumn: still(form.clockColumn),
    strideColumn: still(form.strideColumn),
    channels: Object.fromEntries(
      Object.entries(form.channels).map(([name, mapped]) => [
        name,
        { ...mapped, column: still(mapped.column) },
      ]),
    ),
  };
}
