import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { openStudy } from '@striderule/store';
import type { FilePreview } from '@striderule/wire';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { type TestStudy, testStudy } from './test-study.ts';

let study: TestStudy;
beforeEach(async () => {
  study = await testStudy();
});
afterEach(() => study.end());

const file = () => path.join(study.folder, 'requirements.yaml');
const text = () => readFileSync(file(), 'utf8');
const post = (at: string, body: unknown) =>
  study.ask(at, {
    method: 'POST',
    headers: { origin: `http://127.0.0.1:${study.server.port}`, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
const EDIT = {
  requirements: { 'ankle-torque': { bound: '1.25', task: 'walk-fast' }, 'stride-energy': { task: null } },
};

test('what is shown is what is saved, line by line, and the study opens with it', async () => {
  const before = text();
  const answer = await post('/api/requirements/preview', EDIT);
  expect(answer.status).toBe(200);
  const preview: FilePreview = JSON.parse(Buffer.from(answer.text, 'latin1').toString('utf8'));
  expect(text()).toBe(before);
  const lines = before.split('\n');
  const first = lines.indexOf('  atLeast: 1.1') + 1;
  const task = lines.findIndex((line, k) => k > lines.indexOf('- id: stride-energy') && /task:/.test(line));
  expect(preview.changes).toEqual([
    { line: first - 1, after: '  task: walk-fast' },
    { line: first, before: '  atLeast: 1.1', after: '  atLeast: 1.25' },
    { line: task + 1, before: '  task: walk-natural' },
  ]);
  const saved = await post('/api/requirements', { ...EDIT, sha256: preview.sha256 });
  expect(saved.status).toBe(200);
  expect(text()).toBe(
    lines
      .toSpliced(task, 1)
      .toSpliced(first - 1, 1, '  atLeast: 1.25')
      .toSpliced(first - 2, 0, '  task: walk-fast')
      .join('\n'),
  );
  const asked = (await openStudy(study.folder)).input.requirements;
  expect(asked[0]).toMatchObject({ task: 'walk-fast', bound: { kind: 'at least', value: 1.25 } });
  expect(asked.find(({ id }) => id === 'stride-energy')?.task).toBeUndefined();
});

test('a file that changed after it was shown is not saved over; the other version stands beside it', async () => {
  const { sha256 } = JSON.parse((await post('/api/requirements/preview', EDIT)).text);
  const theirs = `${text()}# a thought\n`;
  writeFileSync(file(), theirs);
  const answer = await post('/api/requirements', { ...EDIT, sha256 });
  expect(answer.status).toBe(409);
  expect(text()).toBe(theirs);
  expect(readdirSync(study.folder)).toContain('requirements.yaml.mine');
});

test('a bound that is nonsense is refused with its words, place and mend', async () => {
  const before = text();
  const sha256 = createHash('sha256').update(before).digest('hex');
  for (const at of ['/api/requirements/preview', '/api/requirements']) {
    const answer = await post(at, { requirements: { 'ankle-current': { bound: '56 m' } }, sha256 });
    expect(answer.status).toBe(422);
    expect(JSON.parse(answer.text).faults[0]).toMatchObject({
      what: '`56 m` is a length, but this field is a current',
      mend: 'Use one of: A, mA',
      place: { file: 'requirements.yaml' },
    });
  }
  expect(text()).toBe(before);
});

test.each([
  undefined,
  null,
  {},
  { requirements: null },
  { requirements: {} },
  { requirements: [] },
  { requirements: { 'ankle-torque': {} } },
  { requirements: { 'ankle-torque': { bound: 1.2 } } },
  { requirements: { 'ankle-torque': { joint: 'hip' } } },
  { requirements: { 'ankle-torque': { metric: 'backdriveShare' } } },
])('the body %j is 422 and nothing is written', async (body) => {
  const before = text();
  for (const at of ['/api/requirements/preview', '/api/requirements']) {
    const answer = await post(at, body);
    expect(answer.status).toBe(422);
    expect(JSON.parse(answer.text).faults[0].code).toBe('server.requirement-request');
  }
  expect(text()).toBe(before);
});
