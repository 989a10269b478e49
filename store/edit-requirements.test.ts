import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Fault } from '@striderule/engine';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { editRequirements } from './edit-requirements.ts';
import { openStudy } from './open-study.ts';

let folder: string;
const file = () => path.join(folder, 'requirements.yaml');
const text = () => readFileSync(file(), 'utf8');
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'striderule-requirements-'));
  cpSync(path.join(import.meta.dirname, '../examples/tern'), folder, { recursive: true });
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const LIST = `# what we ask
- id: torque # of the ankle
  metric: torqueMargin   # ×
  joint: ankle
  atLeast: 1.1 # a tenth
  because: "a tenth in hand"

# the knee must not boil
- id: heat
  metric: windingTemperature
  joint: knee
  atMost: 120 degC
  because: 'the motor''s'
- id: range
  metric: rangePerCharge
  task: walk-natural # the day's
  atLeast: 5 km
  because: an outing
- { id: flow, metric: speedMargin, joint: knee, atLeast: 1.1, because: "current control" }
`;

const saidBy = (work: Promise<unknown>) =>
  work.then(
    () => 'nothing',
    (error) => (error as Fault).message,
  );

test('a bound, a joint and a reason change their own value and no other byte', async () => {
  writeFileSync(file(), LIST);
  const {
    file: name,
    before,
    after,
  } = await editRequirements(folder, {
    torque: { bound: '1.25', joint: 'knee' },
    heat: { bound: '110 degC', because: "the new motor's" },
    flow: { bound: '1.2' },
  });
  expect(name).toBe('requirements.yaml');
  expect(before).toBe(LIST);
  expect(after).toBe(
    LIST.replace('atLeast: 1.1 # a tenth', 'atLeast: 1.25 # a tenth')
      .replace('joint: ankle', 'joint: knee')
      .replace('120 degC', '110 degC')
      .replace("'the motor''s'", "'the new motor''s'")
      .replace('atLeast: 1.1, because', 'atLeast: 1.2, because'),
  );
  expect(text()).toBe(LIST); // nothing is written
});

test('a task comes on a line of its own and goes with it; in braces it comes behind the metric', async () => {
  writeFileSync(file(), LIST);
  const { after } = await editRequirements(folder, {
    torque: { task: 'walk-fast' },
    range: { task: null },
    flow: { task: 'walk-slow' },
  });
  expect(after).toBe(
    LIST.replace('torqueMargin   # ×\n', 'torqueMargin   # ×\n  task: walk-fast\n')
      .replace("  task: walk-natural # the day's\n", '')
      .replace('metric: speedMargin,', 'metric: speedMargin, task: walk-slow,'),
  );
  writeFileSync(file(), after);
  const { requirements } = (await openStudy(folder)).input;
  expect(requirements.map(({ id, task }) => [id, task])).toEqual([
    ['torque', 'walk-fast'],
    ['heat', undefined],
    ['range', undefined],
    ['flow', 'walk-slow'],
  ]);
});

test('lines that end with CR LF keep doing so', async () => {
  writeFileSync(file(), LIST.replaceAll('\n', '\r\n'));
  const { after } = await editRequirements(folder, { torque: { task: 'walk-fast', bound: '1.2' } });
  expect(after.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
  expect(after).toContain('\r\n  task: walk-fast\r\n');
});

test('nonsense is refused with words, and the file stays', async () => {
  const before = text();
  expect(await saidBy(editRequirements(folder, { 'ankle-torque': { bound: '1.1 kg' } }))).toBe(
    'requirements.yaml:5:12 0.atLeast: `1.1 kg` is a mass, but this field is a pure number. Use one of: 1 or %.\n    atLeast: 1.1 kg\n             ^',
  );
  expect(await saidBy(editRequirements(folder, { 'ankle-current': { bound: 'plenty' } }))).toContain(
    '`plenty` is not a number with a unit. Write a current such as `1 A`',
  );
  expect(await saidBy(editRequirements(folder, { 'ankle-torque': { task: 'walk-fats' } }))).toContain(
    'There is no task `walk-fats`. Did you mean `walk-fast`?',
  );
  expect(await saidBy(editRequirements(folder, { 'ankle-torque': { because: '' } }))).toContain('because');
  expect(await saidBy(editRequirements(folder, { range: { joint: 'knee' } }))).toContain(
    '`rangePerCharge` is of the whole leg, not of its knee',
  );
  expect(await saidBy(editRequirements(folder, { 'ankle-torqe': { bound: '1' } }))).toContain(
    'there is no requirement `ankle-torqe` any more',
  );
  expect(text()).toBe(before);
});

test('where a key cannot be taken out alone it is said', async () => {
  writeFileSync(
    file(),
    LIST.replace(
      "- id: range\n  metric: rangePerCharge\n  task: walk-natural # the day's\n",
      '- task: walk-natural\n  id: range\n  metric: rangePerCharge\n',
    ),
  );
  await expect(editRequirements(folder, { range: { task: null } })).rejects.toThrow('Edit it by hand');
});
