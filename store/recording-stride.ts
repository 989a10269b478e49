import { createHash } from 'node:crypto';
import { stat } from 'node:fs/promises';
import path from 'node:path';
import {
  type AveragedStrides,
  Fault,
  type FaultData,
  openIntake,
  type Recipe,
  type RecordedStride,
  type Stride,
  strideFromAverage,
} from '@striderule/engine';
import { type CsvWork, readCsv } from './csv-stream.ts';
import { fingerprint, fingerprintOfFile } from './fingerprint.ts';
import { resolveInside } from './inside.ts';
import { recipeOf } from './recipe-of.ts';
import type { RecordingFrom } from './recording-schema.ts';
import { resultOf } from './results.ts';

/** Puts the file's name to faults that do not know it, and the recipe's to those that point into the recipe. */
function placed(faults: readonly FaultData[], name: string, recipeName: string): FaultData[] {
  return faults.map((fault) => {
    if (fault.place?.file !== undefined) return fault;
    const file = fault.place?.line === undefined ? recipeName : name;
    return { ...fault, place: { file, ...fault.place } };
  });
}

/**
 * Reads a recording in one pass and makes a stride of it; gives the SHA-256 of what was read with it.
 * `name` and `recipeName` are how faults call the two files.
 */
export async function readRecording(
  file: string,
  recipe: Recipe,
  about: { readonly id: string; readonly title: string; readonly name: string; readonly recipeName: string },
  work: CsvWork = {},
): Promise<{ readonly recorded: RecordedStride; readonly sha256: string }> {
  const { name, recipeName } = about;
  try {
    const { averaged, sha256 } = await averageOf(file, recipe, name, work);
    return { recorded: strideFromAverage(averaged, recipe, about), sha256 };
  } catch (error) {
    if (error instanceof Fault) throw new Fault(placed(error.faults, name, recipeName));
    throw error;
  }
}

/** What a recording is found to be: its mean curves as they were recorded, and what stands against making a stride of them. */
export interface LookedAt {
  /** By channel such as `ankle.moment`: engine signs, SI per body mass, at every half per cent. Empty where rows are at fault. */
  readonly curves: Readonly<Record<string, Float64Array>>;
  /** undefined where there is a fault. */
  readonly recorded?: RecordedStride;
  readonly faults: readonly FaultData[];
}

/** Reads and checks a recording as an import does, and keeps its curves though a check fails: so that a flipped one can be seen. */
export async function lookAtRecording(
  file: string,
  recipe: Recipe,
  about: { readonly id: string; readonly title: string; readonly name: string; readonly recipeName: string },
  work: CsvWork = {},
): Promise<LookedAt> {
  let curves: LookedAt['curves'] = {};
  try {
    const { averaged } = await averageOf(file, recipe, about.name, work);
    curves = Object.fromEntries(averaged.channels.map(({ name }, c) => [name, averaged.mean[c]!]));
    return { curves, recorded: strideFromAverage(averaged, recipe, about), faults: [] };
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    return { curves, faults: placed(error.faults, about.name, about.recipeName) };
  }
}

async function averageOf(
  file: string,
  recipe: Recipe,
  name: string,
  work: CsvWork,
): Promise<{ readonly averaged: AveragedStrides; readonly sha256: string }> {
  const intake = openIntake(recipe);
  const hash = createHash('sha256');
  const layout = {
    delimiter: recipe.delimiter === 'tab' ? ('\t' as const) : recipe.delimiter,
    decimal: recipe.decimal,
    ...(recipe.namesLine !== undefined && { namesLine: recipe.namesLine }),
    ...(recipe.dataLine !== undefined && { dataLine: recipe.dataLine }),
  };
  try {
    await readCsv(file, name, layout, intake.columns, intake, {
      ...work,
      onBytes: (bytes) => {
        hash.update(bytes);
        return work.onBytes?.(bytes);
      },
    });
  } catch (error) {
    if (!(error instanceof Fault) || intake.faults.length === 0 || error.faults === intake.faults)
      throw error;
    throw new Fault([...intake.faults, ...error.faults]);
  }
  return { averaged: intake.end(), sha256: hash.digest('hex') };
}

/** Recordings larger than this, bytes, are read once and their stride kept among the study's derived results. */
const KEEP_FROM = 16 * 2 ** 20;

/** The stride a task's recording gives. The file must be, byte for byte, the one that was imported. */
export async function strideOfRecording(
  folder: string,
  id: string,
  title: string,
  from: RecordingFrom,
): Promise<Stride> {
  const task = `tasks/${id}.yaml`;
  const name = from.file ?? (from.outside as string);
  if (from.file === undefined && !path.isAbsolute(name)) {
    throw new Fault({
      code: 'store.recording-outside',
      what: `\`outside: ${name}\` is not an absolute path`,
      mend: 'Name a file inside the study with `file:`, or give the absolute path',
      place: { file: task, path: 'from.recording.outside' },
    });
  }
  const file = from.file === undefined ? name : resolveInside(folder, from.file);
  const recipe = recipeOf(from.recipe);
  const changed = (sha256: string) =>
    new Fault({
      code: 'store.recording-changed',
      what: `the recording ${name} is not the one that was imported: its SHA-256 is ${sha256.slice(0, 12)}…`,
      mend: 'Put the original back, or import the new one under another name',
      place: { file: task, path: 'from.recording.sha256' },
    });
  const read = async (): Promise<Stride> => {
    const { recorded, sha256 } = await readRecording(file, recipe, { id, title, name, recipeName: task });
    if (sha256 !== from.sha256) throw changed(sha256);
    return recorded.stride;
  };
  const size = await stat(file).then(
    (found) => found.size,
    () => 0, // not there: reading says so with its place
  );
  if (size < KEEP_FROM) return read();
  const sha256 = await fingerprintOfFile(file);
  if (sha256 !== from.sha256) throw changed(sha256);
  const inputs = { recording: sha256, recipe: fingerprint({ ...recipe, id, title }) };
  // what it says concerns the cache alone: the stride is the same
  return resultOf(folder, { stage: 'recording', inputs }, 'demand import', read, () => {});
}
