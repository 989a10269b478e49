import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { Fault } from '@striderule/engine';
import { type RecipeFile, recipeSchema } from './recording-schema.ts';
import { checkShape, readYaml } from './yaml-file.ts';

/** A recipe as its own file: its text, comments included, and what it says. */
export interface ReadRecipe {
  readonly text: string;
  readonly recipe: RecipeFile;
}

/** Reads `recipes/<name>.yaml` or any other recipe file; throws every fault in it. */
export async function readRecipe(file: string): Promise<ReadRecipe> {
  const name = path.basename(file);
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(await readFile(file));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new Fault({
      code: 'store.cannot-read',
      what:
        code === 'ENOENT'
          ? `there is no recipe ${file}`
          : error instanceof TypeError
            ? 'this recipe is not UTF-8 text'
            : `this recipe cannot be read (${code ?? String(error)})`,
      mend:
        code === 'ENOENT'
          ? 'Correct its name'
          : error instanceof TypeError
            ? 'Save it as UTF-8'
            : 'Give yourself permission to read it',
      place: { file: name },
    });
  }
  return recipeFromText(name, text);
}

/** Reads the text of a recipe; `name` is how faults call it. Throws every fault in it. */
export function recipeFromText(name: string, text: string): ReadRecipe {
  const { file: yaml, faults } = readYaml(name, text);
  if (yaml === null) throw new Fault(faults);
  const checked = checkShape(yaml, recipeSchema);
  if (checked.value === null) throw new Fault(checked.faults);
  return { text, recipe: checked.value };
}
