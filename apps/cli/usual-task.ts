import type { StudyInput } from '@striderule/engine';
import { chosenTasks } from './study-read.ts';
import type { Values } from './values.ts';

/** The tasks asked for, those of most strides in the schedule first; without an asking only those with a stride. */
export const byStrides = (input: StudyInput, given: Values[string]): readonly string[] =>
  chosenTasks(input, given)
    .filter(({ kind }) => given !== undefined || kind === 'stride')
    .toSorted((a, b) => (b.duty.strides ?? 0) - (a.duty.strides ?? 0))
    .map(({ id }) => id);
