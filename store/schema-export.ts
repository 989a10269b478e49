// JSON Schema (draft 2020-12) of every file of a study, written to store/schemas/. A study carries a copy in its `schemas/`, so that
// the first line of each of its files finds it wherever the folder goes.
//
//   npx tsx store/schema-export.ts
import { mkdirSync, writeFileSync } from 'node:fs';
import { z } from 'zod';
import { controllerSchema } from './controller-schema.ts';
import { legSchema } from './leg-schema.ts';
import { recipeSchema } from './recording-schema.ts';
import { scenarioSchema } from './scenario-schema.ts';
import { hazardsSchema, requirementsSchema, studySchema, taskSchema, wearerSchema } from './study-schemas.ts';

const SCHEMAS = {
  study: studySchema,
  wearer: wearerSchema,
  leg: legSchema,
  controller: controllerSchema,
  task: taskSchema,
  requirements: requirementsSchema,
  hazards: hazardsSchema,
  recipe: recipeSchema,
  scenario: scenarioSchema,
} as const;

/** Each schema as the text of its file, by name. Describes what is written, before units are read. */
export function schemaTexts(): Readonly<Record<string, string>> {
  return Object.fromEntries(
    Object.entries(SCHEMAS).map(([name, schema]) => {
      const json = z.toJSONSchema(schema, { io: 'input', target: 'draft-2020-12' });
      return [
        `${name}.schema.json`,
        `${JSON.stringify({ title: `Striderule ${name} file`, ...json }, null, 1)}\n`,
      ];
    }),
  );
}

/** Folders that carry the schemas: the package's own and the demo study's. */
export const SCHEMA_FOLDERS = [
  new URL('./schemas/', import.meta.url),
  new URL('../examples/tern/schemas/', import.meta.url),
];

if (process.argv[1]?.endsWith('schema-export.ts')) {
  for (const folder of SCHEMA_FOLDERS) {
    mkdirSync(folder, { recursive: true });
    for (const [name, text] of Object.entries(schemaTexts())) writeFileSync(new URL(name, folder), text);
  }
}
