import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import {
  addStride,
  type Channel,
  type ChannelRecipe,
  emptyAverage,
  Fault,
  type Recipe,
  type Stride,
  type StrideAverage,
  type StrideFromRecording,
  strideFromRecording,
} from '@striderule/engine';
import type { z } from 'zod';
import { type CsvFormat, type CsvWork, readCsv } from './csv-stream.ts';
import { resolveInside } from './inside.ts';
import type { RecipeFile, recordingSchema } from './recording-schema.ts';

const ANGLE: Readonly<Record<string, number>> = { deg: Math.PI / 180, rad: 1 };
const NEGATIVE = new Set(['extension', 'plantarflexion', 'backward']);
const LARGEST_GAP = 0.05;

/** The recipe's words as numbers: each column's factor to SI and engine sign. */
export function recipeOf(file: RecipeFile, where: string): Recipe {
  const channels: ChannelRecipe[] = [];
  const perMass = (what: string): number => {
    if (file.bodyMass !== undefined) return 1 / file.bodyMass.si;
    throw new Fault({
      code: 'store.recipe',
      what: `${what} is not per kilogram and the recipe has no body mass`,
      mend: 'Add `bodyMass:`',
      place: { file: where },
    });
  };
  const MOMENT: Readonly<Record<string, () => number>> = {
    'N*m/kg': () => 1,
    'N*m': () => perMass('a moment'),
    'N*mm/kg': () => 1e-3,
  };
  const sign = (positive: string) => (NEGATIVE.has(positive) ? -1 : 1);
  for (const joint of ['hip', 'knee', 'ankle'] as const) {
    const r = file[joint];
    if (r === undefined) continue;
    channels.push({
      channel: `${joint}.angle`,
      column: r.angle.column,
      factor: ANGLE[r.angle.unit]! * sign(r.angle.positive),
    });
    if (r.moment)
      channels.push({
        channel: `${joint}.moment`,
        column: r.moment.column,
        factor: MOMENT[r.moment.unit]!() * sign(r.moment.positive),
      });
    if (r.power)
      channels.push({
        channel: `${joint}.power`,
        column: r.power.column,
        factor: r.power.unit === 'W' ? perMass('a power') : 1,
      });
  }
  if (file.thigh)
    channels.push({
      channel: 'thigh',
      column: file.thigh.column,
      factor: ANGLE[file.thigh.unit]! * sign(file.thigh.positive),
    });
  const fault = (what: string, mend: string): never => {
    throw new Fault({ code: 'store.recipe', what, mend, place: { file: where } });
  };
  if (channels.length === 0)
    fault('the recipe maps no joint', 'Add `knee:` or `ankle:` with the column of its angle');
  if ((file.percent === undefined) === (file.time === undefined))
    fault('the recipe needs one of per cent and time', 'Give `percent:` or `time:`, not both');
  if (file.percent !== undefined && file.strideTime === undefined)
    fault('a recording in per cent has no stride time', 'Add `strideTime:`');
  return {
    channels,
    ...(file.strideTime && { strideTime: file.strideTime.si }),
    stance: file.stance.si,
    ...(file.speed && { speed: file.speed.si }),
    cutOff: file.cutOff.si,
    largestGap: file.largestGap?.si ?? LARGEST_GAP,
  };
}

const formatOf = (file: RecipeFile): CsvFormat => ({
  delimiter: file.delimiter === 'tab' ? '\t' : (file.delimiter ?? ','),
  decimal: file.decimal ?? '.',
});

/** Strides as they come out of the file, one at a time. A stride ends with the first row of the next, which is its 100 %. */
function strideCutter(
  recipe: Recipe,
  average: StrideAverage,
  name: string,
  timeScale: number,
  percent: boolean,
  numbered: boolean,
) {
  let at: number[] = [];
  let columns: number[][] = recipe.channels.map(() => []);
  let number = Number.NaN;
  let first = 0;
  const push = (t: number, values: Float64Array, offset: number) => {
    at.push(t);
    recipe.channels.forEach((c, i) => {
      columns[i]!.push(values[offset + i]! * c.factor);
    });
  };
  const close = (last: number) => {
    const time = percent ? recipe.strideTime! : at.length === 0 ? 0 : at[at.length - 1]! - at[0]!;
    addStride(average, at, columns, time, `${name}:${first}-${last}`);
    at = [];
    columns = recipe.channels.map(() => []);
  };
  return {
    row(values: Float64Array, line: number) {
      const t = values[0]! * timeScale;
      const offset = numbered ? 2 : 1;
      if (numbered && values[1] !== number && !Number.isNaN(number)) {
        if (!percent) push(t, values, offset);
        close(line);
        first = line;
      }
      if (at.length === 0) first = line;
      if (numbered) number = values[1]!;
      push(t, values, offset);
    },
    /** The file is over: its last numbered stride has no end, unless it is the only one or given in per cent. */
    end(): boolean {
      if (numbered && !percent && average.count > 0) return true;
      close(first + at.length - 1);
      return false;
    },
  };
}

/** Reads a recording and makes a stride of it; see `strideFromRecording` for what is checked. */
export async function readRecording(
  path: string,
  name: string,
  recipeFile: RecipeFile,
  about: { id: string; title: string },
  work: CsvWork = {},
): Promise<StrideFromRecording & { strides: number; lastCut: boolean }> {
  const recipe = recipeOf(recipeFile, name);
  const axis = recipeFile.percent ?? recipeFile.time!.column;
  const timeScale = recipeFile.time?.unit === 'ms' ? 1e-3 : 1;
  const numbered = recipeFile.stride !== undefined;
  const columns = [
    axis,
    ...(recipeFile.stride === undefined ? [] : [recipeFile.stride]),
    ...recipe.channels.map((c) => c.column),
  ];
  const doubled = columns.find((c, i) => columns.indexOf(c) !== i);
  if (doubled !== undefined) {
    throw new Fault({
      code: 'store.recipe',
      what: `column \`${doubled}\` is mapped twice`,
      mend: 'Give each channel a column of its own',
      place: { file: name },
    });
  }
  const average = emptyAverage(recipe.channels.map((c): Channel => c.channel));
  const cutter = strideCutter(recipe, average, name, timeScale, recipeFile.percent !== undefined, numbered);
  await readCsv(path, name, formatOf(recipeFile), columns, cutter.row, work);
  const lastCut = cutter.end();
  const made = strideFromRecording(average, recipe, {
    ...about,
    where: name,
    ...(recipeFile.bodyMass && { mass: recipeFile.bodyMass.si }),
  });
  const caveats = [
    ...(recipeFile.notice ? [recipeFile.notice] : []),
    ...made.stride.caveats,
    ...(lastCut ? ['The last stride is cut off by the end of the file and is not averaged.'] : []),
  ];
  return { ...made, stride: { ...made.stride, caveats }, strides: average.count, lastCut };
}

/** SHA-256 of a file of any size. */
export async function hashFile(path: string, signal?: AbortSignal): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(path, { highWaterMark: 1 << 20 }) as AsyncIterable<Buffer>) {
    signal?.throwIfAborted();
    hash.update(chunk);
  }
  return hash.digest('hex');
}

/** The stride a task's recording gives; its file must be the one that was imported, inside the study. */
export async function strideOfRecording(
  folder: string,
  id: string,
  title: string,
  from: z.output<typeof recordingSchema>,
): Promise<Stride> {
  const path = resolveInside(folder, from.file);
  const hash = await hashFile(path).catch((error: NodeJS.ErrnoException) => {
    throw new Fault({
      code: 'store.recording-missing',
      what: `the recording ${from.file} cannot be read (${error.code ?? error.message})`,
      mend: 'Put it back, or import it again',
      place: { file: `tasks/${id}.yaml` },
    });
  });
  if (hash !== from.sha256) {
    throw new Fault({
      code: 'store.recording-changed',
      what: `the recording ${from.file} is not the one that was imported`,
      mend: 'Put the original back, or import the new one',
      place: { file: `tasks/${id}.yaml` },
    });
  }
  return (await readRecording(path, from.file, from.recipe, { id, title })).stride;
}
