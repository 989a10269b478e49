import { existsSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { Fault } from '@striderule/engine';
import { say } from './print.ts';

/** The demo study that comes with Striderule; also the template of `study new`. */
export const DEMO_STUDY = fileURLToPath(new URL('../../examples/tern', import.meta.url));

/**
 * The study a command works on: the folder given, else the one we stand in or one above it, else, for commands that
 * only read, the demo study, and it says so.
 */
export function studyFolder(
  given: string | undefined,
  { mayBeDemo }: { readonly mayBeDemo: boolean },
): string {
  if (given !== undefined) {
    const folder = path.resolve(given);
    if (existsSync(path.join(folder, 'study.yaml'))) return folder;
    throw new Fault({
      code: 'study.no-study-here',
      what: `there is no study.yaml in ${folder}`,
      mend: `Correct the path, or start a study there with \`striderule study new ${given}\``,
    });
  }
  for (let folder = process.cwd(); ; folder = path.dirname(folder)) {
    if (existsSync(path.join(folder, 'study.yaml'))) return folder;
    if (folder === path.dirname(folder)) break;
  }
  if (mayBeDemo) {
    say('No study.yaml here: this is the demo study. `striderule study new my-leg` starts one of your own.');
    return DEMO_STUDY;
  }
  throw new Fault({
    code: 'cli.no-study',
    what: 'there is no study.yaml in this folder or above it',
    mend: 'Name the study with --study, or start one with `striderule study new my-leg`',
  });
}

/** A study named as a word or with --study, but not both ways differently. */
export function oneStudy(
  word: string | undefined,
  option: string | boolean | undefined,
  choice: { readonly mayBeDemo: boolean },
): string {
  if (word !== undefined && option !== undefined) {
    throw new Fault({
      code: 'cli.two-studies',
      what: `"${word}" and --study ${option} both name a study`,
      mend: 'Name it once',
    });
  }
  return studyFolder(word ?? (option as string | undefined), choice);
}
