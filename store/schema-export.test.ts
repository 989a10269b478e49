import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { listFiles } from './read-files.ts';
import { SCHEMA_FOLDERS, schemaTexts } from './schema-export.ts';

const demo = new URL('../examples/tern/', import.meta.url);
const read = (name: string) => readFileSync(new URL(name, demo), 'utf8');

test('the schemas on disk are those of the code (refresh: npx tsx store/schema-export.ts)', () => {
  for (const folder of SCHEMA_FOLDERS) {
    for (const [name, text] of Object.entries(schemaTexts()))
      expect(readFileSync(new URL(name, folder), 'utf8')).toBe(text);
  }
});

// An independent reading of the published schemas: ajv, draft 2020-12
const ajv = new Ajv2020({ strict: false });
const compiled = Object.fromEntries(
  Object.entries(schemaTexts()).map(([name, text]) => [name, ajv.compile(JSON.parse(text))]),
);

const folder = demo.pathname;
const files = [
  'study.yaml',
  'requirements.yaml',
  'hazards.yaml',
  ...['legs', 'wearers', 'tasks', 'controllers', 'scenarios'].flatMap((sub) =>
    listFiles(folder, sub, '.yaml'),
  ),
];

for (const file of files) {
  test(`${file} names its schema on the first line, and passes it`, () => {
    const text = read(file);
    const match = /^# yaml-language-server: \$schema=(\S+)\n/.exec(text);
    expect(match).not.toBeNull();
    const schema = new URL(match![1]!, new URL(file, demo));
    expect(schema.pathname.startsWith(`${folder}schemas/`)).toBe(true);
    const validate = compiled[schema.pathname.slice(`${folder}schemas/`.length)]!;
    expect(validate(parse(text)) || validate.errors).toBe(true);
  });
}

test('an editor is told of a misspelt field and a missing one', () => {
  const leg = parse(read('legs/tern.yaml'));
  const validate = compiled['leg.schema.json']!;
  leg.joints.knee.transmission.raito = leg.joints.knee.transmission.ratio;
  expect(validate(leg)).toBe(false);
  delete leg.joints.knee.transmission.raito;
  delete leg.joints.knee.transmission.ratio;
  expect(validate(leg)).toBe(false);
});
