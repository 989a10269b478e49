// The laboratory's own strides become a task: `tasks/<id>.yaml`, which carries the recipe and the original's SHA-256, and
// `tasks/<id>.csv`, the original, byte for byte. An original that the study has already, or that is to stay outside, is not
// copied. Everything is read and checked before either has its name; cancel, a fault or a
// full disk leave the study as it was. A crash between the two names leaves a CSV without a task, which nothing reads.

import { access, mkdir, realpath, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { Fault, type RecordedStride } from '@striderule/engine';
import { referenceStrides } from '@striderule/reference';
import { writeFileAtomic } from './atomic-write.ts';
import { canonicalJson } from './fingerprint.ts';
import { resolveInside } from './inside.ts';
import { copyOriginal, type OriginalCopy } from './original-copy.ts';
import { type ReadRecipe, readRecipe, recipeFromText } from './recipe-file.ts';
import { recipeOf } from './recipe-of.ts';
import { readRecording } from './recording-stride.ts';
import { withStudyLock } from './study-lock.ts';
import { taskSchema } from './study-schemas.ts';
import { writeFault } from './write-fault.ts';
import { checkShape, readYaml } from './yaml-file.ts';

export interface ImportRequest {
  /** The study. */
  readonly folder: string;
  /** The CSV, anywhere. */
  readonly csv: string;
  /** The recipe: a file, anywhere, or its text. */
  readonly recipe: string | { readonly text: string };
  /** Id of the new task. */
  readonly id: string;
  /** Left out: made of the id. */
  readonly title?: string;
  /** `outside` leaves a large original where it is; the task then names its absolute path. `copy` unless said, or inside. */
  readonly original?: 'copy' | 'outside';
  /** Write over a task of this id. */
  readonly replace?: boolean;
  readonly signal?: AbortSignal;
  /** Bytes read, and how many there are. */
  readonly onProgress?: (done: number, total: number) => void;
}

export interface ImportedRecording extends RecordedStride {
  /** The task's file and the original's, as the study names them. */
  readonly task: string;
  readonly file: string;
  readonly sha256: string;
}

const exists = (file: string): Promise<boolean> =>
  access(file).then(
    () => true,
    () => false,
  );

/** Reads, checks, averages and smooths a recording and makes a task of it. Throws one Fault with every fault found. */
export async function importRecording(request: ImportRequest): Promise<ImportedRecording> {
  const { folder, csv, id, signal, onProgress } = request;
  await refuseBadId(folder, id);
  const recipeName = typeof request.recipe === 'string' ? path.basename(request.recipe) : 'recipe';
  const read =
    typeof request.recipe === 'string'
      ? await readRecipe(request.recipe)
      : recipeFromText(recipeName, request.recipe.text);
  const recipe = recipeOf(read.recipe);
  const title = request.title ?? id.charAt(0).toUpperCase() + id.slice(1).replaceAll('-', ' ');
  const files = { task: `tasks/${id}.yaml`, original: `tasks/${id}.csv` };
  const target = { task: resolveInside(folder, files.task), original: resolveInside(folder, files.original) };
  const outside = request.original === 'outside';
  const home = await insideStudy(folder, csv);
  const refuseOld = async () => {
    if (request.replace) return;
    for (const kind of ['task', 'original'] as const) {
      if (kind === 'original' && (home !== undefined || outside)) continue;
      if (await exists(target[kind])) throw alreadyThere(files[kind]);
    }
  };
  await refuseOld();
  await mkdir(path.dirname(target.task), { recursive: true }).catch((error) => {
    throw writeFault(error, files.task);
  });
  let copy: OriginalCopy | undefined;
  try {
    if (!outside && home === undefined) copy = await copyOriginal(target.original);
    const { recorded, sha256 } = await readRecording(
      csv,
      recipe,
      { id, title, name: path.basename(csv), recipeName },
      {
        ...(signal && { signal }),
        ...(onProgress && { onProgress }),
        ...(copy && { onBytes: copy.write }),
      },
    );
    const file = home ?? (outside ? path.resolve(csv) : files.original);
    const where = outside && home === undefined ? { outside: file } : { file };
    const text = taskText(title, where, sha256, read);
    await withStudyLock(
      folder,
      async () => {
        await refuseOld();
        signal?.throwIfAborted();
        await keepBoth(target, copy, text);
      },
      { doing: 'demand import' },
    );
    return { ...recorded, task: files.task, file, sha256 };
  } finally {
    await copy?.drop();
  }
}

/** Where the study has the file already, as the study names it: then there is nothing to copy. */
async function insideStudy(folder: string, csv: string): Promise<string | undefined> {
  const real = await realpath(csv).catch(() => undefined);
  if (real === undefined) return undefined;
  const relative = path.relative(await realpath(folder), real);
  const within = relative !== '' && !path.isAbsolute(relative) && relative.split(path.sep)[0] !== '..';
  return within ? relative.replaceAll(path.sep, '/') : undefined;
}

async function refuseBadId(folder: string, id: string): Promise<void> {
  if (
    !(await stat(path.join(folder, 'study.yaml')).then(
      (s) => s.isFile(),
      () => false,
    ))
  ) {
    throw new Fault({
      code: 'store.no-study',
      what: `${folder} is no study: it has no study.yaml`,
      mend: 'Name the folder of a study, or start one',
    });
  }
  if (!/^[a-z0-9][a-z0-9-]{0,60}$/.test(id)) {
    throw new Fault({
      code: 'store.task-id',
      what: `"${id}" cannot be the id of a task`,
      mend: 'Use small letters, digits and hyphens, such as own-walk-1',
    });
  }
  if (Object.hasOwn(referenceStrides(), id)) {
    throw new Fault({
      code: 'store.task-id',
      what: `"${id}" is the name of a stride that ships`,
      mend: 'Choose another id, such as own-walk-1',
    });
  }
}

const alreadyThere = (file: string): Fault =>
  new Fault({
    code: 'store.task-exists',
    what: 'this file is already there, and nothing is written over it',
    mend: 'Choose another id, or ask to replace it',
    place: { file },
  });

/** Both names or neither: an old original that is replaced comes back if the task cannot be written. */
async function keepBoth(
  target: { readonly task: string; readonly original: string },
  copy: OriginalCopy | undefined,
  text: string,
): Promise<void> {
  if (copy === undefined) {
    await writeFileAtomic(target.task, text);
    return;
  }
  const old = `${target.original}.replaced`;
  const had = await exists(target.original);
  if (had) await rename(target.original, old);
  try {
    await copy.keep();
    await writeFileAtomic(target.task, text);
  } catch (error) {
    if (had) await rename(old, target.original);
    else await rm(target.original, { force: true });
    throw error;
  }
  await rm(old, { force: true });
}

/** The task file; the recipe stands in it as it was written, comments and all. */
function taskText(
  title: string,
  where: { readonly file: string } | { readonly outside: string },
  sha256: string,
  { text, recipe }: ReadRecipe,
): string {
  const lines = text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\r|\n/)
    .filter((line) => !/^(# yaml-language-server:|%|---|\.\.\.)/.test(line));
  const indented = lines.map((line) => (line.trim() === '' ? '' : `      ${line}`)).join('\n');
  const [key, value] = Object.entries(where)[0] as [string, string];
  const made = `# yaml-language-server: $schema=../schemas/task.schema.json
title: ${JSON.stringify(title)}
${recipe.notice === undefined ? '' : `notice: ${JSON.stringify(recipe.notice)}\n`}from:
  recording:
    ${key}: ${JSON.stringify(value)}
    sha256: ${sha256} # of the original, untouched
    recipe:
${indented.replace(/\n+$/, '')}
# duty: { strides: 1000 } # of one leg, in the schedule
`;
  const { file, faults } = readYaml('task', made);
  const back = file === null ? { value: null, faults } : checkShape(file, taskSchema);
  const same =
    back.value !== null && canonicalJson(back.value.from?.recording?.recipe) === canonicalJson(recipe);
  if (!same) {
    throw new Fault([
      ...back.faults,
      {
        code: 'store.recipe-embed',
        what: 'the recipe does not read the same inside a task file',
        mend: 'Write it as a plain block of `field: value` lines',
      },
    ]);
  }
  return made;
}
