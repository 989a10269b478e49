import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { openStudy } from '@striderule/store';
import type { CsvPreview, RecordingChecked, UploadDone } from '@striderule/wire';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { events, type TestStudy, testStudy } from './test-study.ts';

let study: TestStudy;
let csv: string;
let recipe: string;
beforeEach(async () => {
  study = await testStudy();
  csv = readFileSync(path.join(study.folder, 'recordings/demo-strides.csv'), 'utf8');
  recipe = readFileSync(path.join(study.folder, 'recordings/demo-recipe.yaml'), 'utf8');
});
afterEach(() => study.end());

const origin = () => `http://127.0.0.1:${study.server.port}`;
const post = (at: string, body: unknown) =>
  study.ask(at, {
    method: 'POST',
    headers: { origin: origin(), 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
const drop = (text: string, name = 'walk.csv', headers: Record<string, string | undefined> = {}) =>
  study.ask(`/api/imports/files?name=${encodeURIComponent(name)}`, {
    method: 'POST',
    headers: { origin: origin(), 'content-type': 'text/csv', ...headers },
    body: text,
  });
const dropped = async (text: string, name?: string): Promise<UploadDone> => {
  const answer = await drop(text, name);
  expect(answer.status).toBe(201);
  return JSON.parse(answer.text);
};
const faultOf = (answer: { text: string }) =>
  JSON.parse(Buffer.from(answer.text, 'latin1').toString()).faults[0];
async function ended(answer: { status: number; text: string }): Promise<{ event: string; data: unknown }> {
  expect(answer.status).toBe(202);
  let last = { event: '', data: undefined as unknown };
  const { id } = JSON.parse(answer.text);
  for await (const event of events(`${origin()}/api/imports/${id}/events`, study.cookie)) last = event;
  return last;
}
const checked = async (upload: string, text: string): Promise<RecordingChecked> => {
  const { event, data } = await ended(await post('/api/imports/checks', { upload, recipe: text }));
  expect(event).toBe('done');
  return data as RecordingChecked;
};
const homes = () => readdirSync(tmpdir()).filter((name) => name.startsWith('striderule-upload-'));

test('a dropped file is looked at, checked, and imported byte for byte; before that the study has nothing of it', async () => {
  const before = readdirSync(path.join(study.folder, 'tasks')).sort();
  const { upload, size } = await dropped(csv, 'our walk.csv');
  expect(size).toBe(Buffer.byteLength(csv));
  const preview: CsvPreview = JSON.parse(
    Buffer.from((await post('/api/imports/preview', { upload })).text, 'latin1').toString(),
  );
  expect(preview.layout).toEqual({ delimiter: ';', decimal: ',', namesLine: 2, dataLine: 4 });
  expect(preview.names.slice(0, 3)).toEqual(['Time [s]', 'Cycle', 'Hip angle [deg]']);
  const found = await checked(upload, recipe);
  expect([found.faults, found.strides]).toEqual([[], 6]);
  expect(readdirSync(path.join(study.folder, 'tasks')).sort()).toEqual(before);

  const { event, data } = await ended(
    await post('/api/imports', { upload, recipe, task: 'own-walk-2', title: 'Our walk' }),
  );
  expect([event, data]).toEqual([
    'done',
    expect.objectContaining({ task: 'tasks/own-walk-2.yaml', file: 'tasks/own-walk-2.csv', strides: 6 }),
  ]);
  expect(readFileSync(path.join(study.folder, 'tasks/own-walk-2.csv'), 'utf8')).toBe(csv);
  const { input } = await openStudy(study.folder);
  expect(input.tasks.find(({ id }) => id === 'own-walk-2')?.title).toBe('Our walk');
});

test('a flipped column is told with its curve; a bad cell with its line; a bad recipe in its own words', async () => {
  const { upload } = await dropped(csv);
  const flipped = recipe.replace('positive: plantarflexion', 'positive: dorsiflexion');
  const [sound, turned] = [await checked(upload, recipe), await checked(upload, flipped)];
  expect(turned.faults.map(({ code, place }) => [code, place?.path])).toEqual([
    ['gait.recording-sign', 'ankle.moment'],
  ]);
  const moment = ({ curves }: RecordingChecked) =>
    curves.find(({ channel }) => channel === 'ankle.moment')!.values;
  expect(moment(turned)).toEqual(moment(sound).map((value) => -value));
  const bad = await dropped(csv.replace('\n0,005;1;31,37', '\n0,005;1;NaN'));
  const { faults, curves } = await checked(bad.upload, recipe);
  expect(faults[0]).toMatchObject({ what: 'this cell is `NaN`', place: { file: 'walk.csv', line: 5 } });
  expect(curves).toEqual([]);
  expect((await checked(upload, recipe.replace('cutOff', 'cutof'))).faults[0]?.mend).toContain('cutOff');
});

test.each(['', '../walk.csv', 'a/b.csv', 'a\\b.csv', '..', 'a\nb.csv'])(
  'a file called %j is refused',
  async (name) => {
    const answer = await drop(csv, name);
    expect(answer.status).toBe(422);
    expect(faultOf(answer).code).toBe('server.upload-name');
  },
);

test('only the page of this server may drop a file', async () => {
  expect((await drop(csv, 'walk.csv', { origin: 'http://example.org' })).status).toBe(403);
  expect((await drop(csv, 'walk.csv', { origin: undefined })).status).toBe(403);
  expect((await drop(csv, 'walk.csv', { cookie: undefined })).status).toBe(401);
});

test('an upload that is not there is said, a body that names none too', async () => {
  for (const [at, rest] of [
    ['/api/imports/preview', {}],
    ['/api/imports/checks', { recipe }],
    ['/api/imports', { recipe, task: 'own', title: 'Own' }],
  ] as const) {
    const answer = await post(at, { upload: 'none', ...rest });
    expect([answer.status, faultOf(answer).code]).toEqual([422, 'server.no-upload']);
    expect((await post(at, {})).status).toBe(422);
  }
  expect((await post('/api/imports/preview', { upload: 'none', layout: { delimiter: '|' } })).status).toBe(
    422,
  );
});

test('the fifth file puts out the first, and all go with the server', async () => {
  const { upload } = await dropped(csv);
  const [home] = homes().filter((name) => readdirSync(path.join(tmpdir(), name)).includes(upload));
  for (let k = 0; k < 4; k++) await dropped('a,b\n1,2\n');
  expect(faultOf(await post('/api/imports/preview', { upload })).code).toBe('server.no-upload');
  const folder = path.join(tmpdir(), home!);
  expect(readdirSync(folder)).toHaveLength(4);
  await study.server.close();
  expect(existsSync(folder)).toBe(false);
});
