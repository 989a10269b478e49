import type { StudyInput } from '@striderule/engine';
import type { RecipeForm } from './recipe-form.ts';

// What was filled in, kept for this browser tab: a page that is left or loaded anew loses nothing of it.

const keyOf = ({ name }: StudyInput): string => `striderule.import ${name}`;

export function keptForm(input: StudyInput): RecipeForm | undefined {
  try {
    const kept: unknown = JSON.parse(sessionStorage.getItem(keyOf(input)) ?? 'null');
    return kept === null || typeof kept !== 'object' || !('channels' in kept)
      ? undefined
      : (kept as RecipeForm);
  } catch {
    return undefined;
  }
}

export function keepForm(input: StudyInput, form: RecipeForm | undefined): void {
  try {
    if (form === undefined) sessionStorage.removeItem(keyOf(input));
    else sessionStorage.setItem(keyOf(input), JSON.stringify(form));
  } catch {
    // storage refused: holds until the page is closed
  }
}
