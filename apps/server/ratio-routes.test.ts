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

const leg = () => path.join(study.folder, 'legs/tern.yaml');
const text = () => readFileSync(leg(), 'utf8');
const post = (at: string, body: unknown, headers: Record<string, string | undefined> = {}) =>
  study.ask(at, {
    method: 'POST',
    headers: {
      origin: `http://127.0.0.1:${study.server.port}`,
      'content-type': 'application/json',
      ...headers,
    },
    body: JSON.stringify(body),
  });
const faultOf = (answer: { text: string }) => JSON.parse(answer.text).faults[0];

test('what is shown is what is saved: one line a joint, every other byte as it was', async () => {
  const before = text();
  const answer = await post('/api/ratios/preview', { ratios: { ankle: 18, knee: 20.5 } });
  expect(answer.status).toBe(200);
  const preview: FilePreview = JSON.parse(answer.text);
  expect(text()).toBe(before);
  expect(preview.file).toBe('legs/tern.yaml');
  expect(preview.sha256).toBe(createHash('sha256').update(before).digest('hex'));
  expect(preview.changes.map(({ before: was, after }) => [was, after])).toEqual([
    ['      ratio: 22', '      ratio: 20.5'],
    ['      ratio: 22', '      ratio: 18'],
  ]);
  const saved = await post('/api/ratios', { ratios: { ankle: 18, knee: 20.5 }, sha256: preview.sha256 });
  expect(saved.status).toBe(200);
  const lines = before.split('\n');
  for (const { line, after } of preview.changes) lines[line - 1] = after!;
  expect(text()).toBe(lines.join('\n'));
  expect(JSON.parse(saved.text).sha256).toBe(createHash('sha256').update(text()).digest('hex'));
  const { joints } = (await openStudy(study.folder)).input.leg;
  expect([joints.knee?.transmission.ratio, joints.ankle?.transmission.ratio]).toEqual([20.5, 18]);
});

test('a file that changed after it was shown is not saved over; the other version stands beside it', async () => {
  const { sha256 } = JSON.parse((await post('/api/ratios/preview', { ratios: { ankle: 18 } })).text);
  const theirs = `${text()}# a thought\n`;
  writeFileSync(leg(), theirs);
  const answer = await post('/api/ratios', { ratios: { ankle: 18 }, sha256 });
  expect(answer.status).toBe(409);
  expect(faultOf(answer)).toMatchObject({
    code: 'store.changed-on-disk',
    what: expect.stringContaining('tern.yaml.mine'),
    place: { file: 'legs/tern.yaml' },
  });
  expect(text()).toBe(theirs);
  expect(readdirSync(path.dirname(leg()))).toContain('tern.yaml.mine');
});

test.each([
  undefined,
  null,
  {},
  { ratios: null },
  { ratios: {} },
  { ratios: { hip: 3 } },
  { ratios: { ankle: 0 } },
  { ratios: { ankle: -3 } },
  { ratios: { ankle: '18' } },
])('the body %j is 422 and nothing is written', async (body) => {
  const before = text();
  for (const at of ['/api/ratios/preview', '/api/ratios']) {
    const answer = await post(at, body);
    expect(answer.status).toBe(422);
    expect(faultOf(answer).code).toBe('server.ratio-request');
  }
  expect((await post('/api/ratios', { ratios: { ankle: 18 } })).status).toBe(422);
  expect(text()).toBe(before);
});

test('a study that cannot be read is not saved into', async () => {
  writeFileSync(path.join(study.folder, 'wearers/w01.yaml'), 'code: W01\n');
  expect((await post('/api/ratios/preview', { ratios: { ankle: 18 } })).status).toBe(422);
});

test.each([
  ['without an origin', { origin: undefined }, 403],
  ['from another page', { origin: 'http://example.org' }, 403],
  ['as a form', { 'content-type': 'text/plain' }, 415],
  ['without the cookie', { cookie: undefined }, 401],
] as const)('a save %s is refused and nothing is written', async (_, headers, status) => {
  const before = text();
  const sha256 = createHash('sha256').update(before).digest('hex');
  const answer = await post('/api/ratios', { ratios: { ankle: 18 }, sha256 }, headers);
  expect(answer.status).toBe(status);
  expect(text()).toBe(before);
});
