import { Fault, nearestName, type StudyInput, type Task } from '@striderule/engine';
import { type OpenedStudy, openStudy } from '@striderule/store';
import { studyFolder } from './study-place.ts';
import type { Values } from './values.ts';

/** The study that a reading command was pointed at, with the leg and wearer that were asked for. */
export async function readStudy(values: Values): Promise<OpenedStudy> {
  const folder = studyFolder(values.study as string | undefined, { mayBeDemo: true });
  const { leg, wearer } = values as { readonly leg?: string; readonly wearer?: string };
  return await openStudy(folder, {
    ...(leg !== undefined && { leg }),
    ...(wearer !== undefined && { wearer }),
  });
}

/** One of `known`, or a fault that names the option and the nearest word. */
export function oneOf<Name extends string>(option: string, given: string, known: readonly Name[]): Name {
  if ((known as readonly string[]).includes(given)) return given as Name;
  const near = nearestName(given, known);
  throw new Fault({
    code: 'cli.unknown-name',
    what: `${option} "${given}" is not in this study`,
    mend:
      near === undefined
        ? `There is: ${known.join(', ')}`
        : `Did you mean "${near}"? There is: ${known.join(', ')}`,
  });
}

/** The tasks to show: all, or the one that was asked for. */
export function chosenTasks(input: StudyInput, given: string | boolean | undefined): readonly Task[] {
  if (given === undefined) return input.tasks;
  const id = oneOf(
    '--task',
    given as string,
    input.tasks.map((task) => task.id),
  );
  return input.tasks.filter((task) => task.id === id);
}

/** Two ways of printing that exclude one another. */
export function oneForm(values: Values, ...names: string[]): void {
  const given = names.filter((name) => values[name] !== undefined);
  if (given.length < 2) return;
  throw new Fault({
    code: 'cli.two-forms',
    what: `${given.map((name) => `--${name}`).join(' and ')} exclude one another`,
    mend: 'Choose one',
  });
}
