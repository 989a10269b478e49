import { readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { readRecipe, recipeFromText } from './recipe-file.ts';
import { recipeOf } from './recipe-of.ts';
import { lookAtRecording } from './recording-stride.ts';

const demo = path.join(import.meta.dirname, '../examples/tern/recordings');
const csv = path.join(demo, 'demo-strides.csv');
const recipe = path.join(demo, 'demo-recipe.yaml');
const about = { id: 'own', title: 'Own', name: 'demo-strides.csv', recipeName: 'recipe' };
const look = (change: (text: string) => string) =>
  lookAtRecording(
    csv,
    recipeOf(recipeFromText('recipe', change(readFileSync(recipe, 'utf8'))).recipe),
    about,
  );

test('a sound recording gives its curves and the stride', async () => {
  const { curves, recorded, faults } = await lookAtRecording(
    csv,
    recipeOf((await readRecipe(recipe)).recipe),
    about,
  );
  expect(faults).toEqual([]);
  expect(recorded?.count).toBe(6);
  expect(Object.keys(curves)).toHaveLength(10);
  // examples/make-demo-strides.ts: the knee peaks at 62° near 72 %
  const knee = Array.from(curves['knee.angle']!, (angle) => (angle * 180) / Math.PI);
  expect(Math.max(...knee)).toBeCloseTo(62, -0.5);
  expect(knee.indexOf(Math.max(...knee)) / 2).toBeCloseTo(72, -0.5);
});

test('a flipped column is a fault, and its curve is there to be seen: the other way up', async () => {
  const sound = await look((text) => text);
  const { curves, recorded, faults } = await look((text) =>
    text.replace('positive: plantarflexion', 'positive: dorsiflexion'),
  );
  expect(recorded).toBeUndefined();
  expect(faults.map(({ code, place }) => [code, place?.path])).toEqual([
    ['gait.recording-sign', 'ankle.moment'],
  ]);
  expect(curves['ankle.moment']).toEqual(sound.curves['ankle.moment']!.map((moment) => -moment));
});

test('rows at fault leave no curves', async () => {
  const { curves, faults } = await look((text) => text.replace('decimal: ","', 'decimal: "."'));
  expect(curves).toEqual({});
  expect(faults[0]?.place?.file).toBe('demo-strides.csv');
});
