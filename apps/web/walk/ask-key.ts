import type { StudyInput } from '@striderule/engine';

const texts = new WeakMap<StudyInput, string>();

/** The same for the same question about the same study, whichever object holds it. */
export function askKey({ input, ...asked }: { readonly input: StudyInput }): string {
  const text = texts.get(input) ?? JSON.stringify(input);
  texts.set(input, text);
  return JSON.stringify(asked) + text;
}
