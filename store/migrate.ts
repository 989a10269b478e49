import { Fault, type FaultData } from '@striderule/engine';
import { writeFileAtomic } from './atomic-write.ts';
import { STUDY_FORMAT } from './format.ts';
import { resolveInside } from './inside.ts';
import { keepBeside } from './keep-beside.ts';
import { type LineChange, lineDiff } from './line-diff.ts';
import { from1to2 } from './migrate-1-to-2.ts';
import { listFiles, readText } from './read-files.ts';
import { withStudyLock } from './study-lock.ts';
import { readYaml } from './yaml-file.ts';

/** By the format it starts from: one file's text to the next format's. */
const STEPS: Readonly<Record<number, typeof from1to2>> = { 1: from1to2 };

export interface Migration {
  readonly from: number;
  readonly to: number;
  readonly files: readonly {
    /** Name in the study folder. */
    readonly file: string;
    /** Where the original is kept, a name in the study folder. */
    readonly original: string;
    readonly change: LineChange;
  }[];
}

/**
 * Brings a study folder to the present format. Comments, order and blanks stay. Nothing is lost: the original of each
 * changed file is kept beside it as `<file>.before-2` (for format 2), never over another file. All faults are found
 * before the first write; each write is atomic; study.yaml, which says the format, comes last, so a migration that
 * was interrupted is finished by running it again. A study of the present format is left as it is; a newer one is
 * fault `store.newer-format`.
 */
export async function migrateStudy(folder: string): Promise<Migration> {
  return withStudyLock(folder, () => migrate(folder), { doing: 'study migrate' });
}

async function migrate(folder: string): Promise<Migration> {
  const from = formatOf(folder);
  const faults: FaultData[] = [];
  const changed: { file: string; before: string; after: string }[] = [];
  if (from < STUDY_FORMAT) {
    const names = ['wearers', 'legs', 'tasks'].flatMap((sub) => listFiles(folder, sub, '.yaml'));
    for (const file of [...names, 'study.yaml']) {
      resolveInside(folder, file);
      const read = readText(folder, file);
      faults.push(...read.faults);
      if (read.text === null) continue;
      let after = read.text;
      for (let format = from; format < STUDY_FORMAT; format++) {
        const step = STEPS[format]!(file, after);
        faults.push(...step.faults);
        after = step.text;
      }
      if (after !== read.text) changed.push({ file, before: read.text, after });
    }
  }
  if (faults.length > 0) throw new Fault(faults);
  const files = [];
  for (const { file, before, after } of changed) {
    const target = resolveInside(folder, file);
    const kept = await keepBeside(target, `before-${STUDY_FORMAT}`, before);
    await writeFileAtomic(target, after);
    files.push({ file, original: file + kept.slice(target.length), change: lineDiff(before, after)! });
  }
  return { from, to: STUDY_FORMAT, files };
}

function formatOf(folder: string): number {
  const read = readText(folder, 'study.yaml');
  if (read.text === null) throw new Fault(read.faults);
  const { file, faults } = readYaml('study.yaml', read.text);
  if (file === null) throw new Fault(faults);
  const format = (file.value as { format?: unknown } | null)?.format;
  if (typeof format === 'number' && format in STEPS) return format;
  if (format === STUDY_FORMAT) return format;
  if (typeof format === 'number' && format > STUDY_FORMAT) {
    throw new Fault({
      code: 'store.newer-format',
      what: `this study has format ${format}, this program reads up to ${STUDY_FORMAT}`,
      mend: 'Use the version of Striderule that wrote it, or a newer one',
      place: file.place(['format']),
    });
  }
  throw new Fault({
    code: 'store.unknown-format',
    what: 'the study does not say a format that ever was',
    mend: `Write \`format: 1\` or \`format: ${STUDY_FORMAT}\`, whichever the files are`,
    place: file.place(['format']),
  });
}
