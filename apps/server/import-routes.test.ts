import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { openStudy } from '@striderule/store';
import type { ProgressEvent } from '@striderule/wire';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import { events, type ServerEvent, type TestStudy, testStudy } from './test-study.ts';

/** A made-up knee, K(p) = 30° − 30°·cos(2πp), 100 rows a stride of 1.2 s. */
function recording(strides: number): string {
  const rows = ['time,stride,knee'];
  for (let k = 0; k <= strides * 100; k++) {
    const angle = 30 - 30 * Math.cos((2 * Math.PI * (k % 100)) / 100);
    rows.push(`${(k * 0.012).toFixed(3)},${Math.floor(k / 100)},${angle.toFixed(4)}`);
  }
  return `${rows.join('\n')}\n`;
}

const RECIPE = `# our own strides
notice: demo data, made up for a test
time: { column: time, unit: s }
stride: stride
stance: 62 %
cutOff: 6 Hz
knee: { angle: { column: knee, unit: deg, positive: flexion } }
`;

let study: TestStudy;
const small = recording(5);
beforeAll(async () => {
  study = await testStudy();
  mkdirSync(path.join(study.folder, 'incoming'));
  const put = (name: string, text: string) => writeFileSync(path.join(study.folder, 'incoming', name), text);
  put('small.csv', small);
  put('large.csv', recording(3_000)); // about 7 MB: many steps of progress
  put('broken.csv', small.replace('1.200', 'oops'));
  put('recipe.yaml', RECIPE);
  symlinkSync('/etc/hostname', path.join(study.folder, 'incoming', 'link.csv'));
});
afterAll(() => study.end());

let before: string[];
const tasks = () => readdirSync(path.join(study.folder, 'tasks')).sort();
beforeEach(() => {
  before = tasks();
});

const post = (body: unknown, headers: Record<string, string> = {}) =>
  study.ask('/api/imports', {
    method: 'POST',
    headers: {
      origin: `http://127.0.0.1:${study.server.port}`,
      'content-type': 'application/json',
      ...headers,
    },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });

async function begin(file: string, task: string): Promise<string> {
  const answer = await post({ file, recipe: 'incoming/recipe.yaml', task });
  expect([answer.status, answer.text]).toEqual([202, expect.stringMatching(/"id":"[\w-]{36}"/)]);
  return JSON.parse(answer.text).id;
}

const follow = (id: string) =>
  events(`http://127.0.0.1:${study.server.port}/api/imports/${id}/events`, study.cookie);

async function all(id: string): Promise<ServerEvent[]> {
  const seen: ServerEvent[] = [];
  for await (const event of follow(id)) seen.push(event);
  return seen;
}

test('an import makes the task, says what it found, and the study opens with it', async () => {
  const seen = await all(await begin('incoming/small.csv', 'own-small'));
  expect(seen.at(-1)).toMatchObject({
    event: 'done',
    data: {
      task: 'tasks/own-small.yaml',
      file: 'incoming/small.csv',
      strides: 5,
      sha256: createHash('sha256').update(small).digest('hex'),
    },
  });
  expect(readFileSync(path.join(study.folder, 'incoming', 'small.csv'), 'utf8')).toBe(small); // stays where it is, untouched
  const { input } = await openStudy(study.folder);
  expect(input.tasks.map(({ id }) => id)).toContain('own-small');
});

test('progress comes in order and ends at the whole, then the end, to whoever listens', async () => {
  const id = await begin('incoming/large.csv', 'own-large');
  for (const seen of await Promise.all([all(id), all(id)])) {
    const steps = seen.flatMap(({ event, data }) => (event === 'progress' ? [data as ProgressEvent] : []));
    expect(steps.length).toBeGreaterThan(1);
    const done = steps.map((step) => step.done);
    expect(done).toEqual([...done].sort((a, b) => a - b));
    for (const { total, label } of steps) {
      expect([total, label]).toEqual([steps[0]!.total, 'bytes of incoming/large.csv']);
    }
    expect(seen.findIndex(({ event }) => event !== 'progress')).toBe(seen.length - 1);
    expect(seen.at(-1)).toMatchObject({ event: 'done', data: { strides: 3000 } });
  }
});

test('an import that is cancelled says so and leaves the study as it was', async () => {
  const id = await begin('incoming/large.csv', 'own-cancelled');
  const seen: string[] = [];
  for await (const { event } of follow(id)) {
    seen.push(event);
    if (seen.length === 1) {
      const answer = await study.ask(`/api/imports/${id}`, {
        method: 'DELETE',
        headers: { origin: `http://127.0.0.1:${study.server.port}` },
      });
      expect(answer.status).toBe(202);
    }
  }
  expect(seen.at(-1)).toBe('cancelled');
  expect(tasks()).toEqual(before);
});

test('a bad recording is a fault with its line, and the study stays as it was', async () => {
  const [end] = (await all(await begin('incoming/broken.csv', 'own-broken'))).slice(-1);
  expect(end!.event).toBe('fault');
  expect(
    (end!.data as { faults: { place: { file: string; line: number } }[] }).faults[0]!.place,
  ).toMatchObject({ file: 'broken.csv', line: 102 });
  expect(tasks()).toEqual(before);
});

test.each([
  '../secret.txt',
  '/etc/passwd',
  'incoming/../../secret.txt',
  'C:\\x.csv',
  'incoming/link.csv',
  'incoming\\small.csv',
])('a recording or a recipe at %s is 403 and nothing is begun', async (away) => {
  for (const body of [
    { file: away, recipe: 'incoming/recipe.yaml', task: 'own-away' },
    { file: 'incoming/small.csv', recipe: away, task: 'own-away' },
  ]) {
    const answer = await post(body);
    expect(answer.status).toBe(403);
    expect(JSON.parse(answer.text).faults[0].what).toContain('leaves the study');
  }
  expect(tasks()).toEqual(before);
});

test('a task id that is a path is a fault', async () => {
  const [end] = (await all(await begin('incoming/small.csv', '../../own'))).slice(-1);
  expect(end).toMatchObject({
    event: 'fault',
    data: { faults: [{ what: '"../../own" cannot be the id of a task' }] },
  });
  expect(existsSync(path.join(study.home, 'own.yaml'))).toBe(false);
});

test.each(['', '{', 'null', '[]', '{"file":"a.csv"}', '{"file":1,"recipe":"b","task":"c"}'])(
  'the body %j is 422',
  async (body) => {
    const answer = await post(body);
    expect(answer.status).toBe(422);
    expect(JSON.parse(answer.text).faults[0]).toMatchObject({
      what: 'the request does not name `file`, `recipe` and `task`',
    });
  },
);

test('a form, which another page could send, is 415', async () => {
  expect((await post('file=a', { 'content-type': 'application/x-www-form-urlencoded' })).status).toBe(415);
});

test('an import that never was is 404', async () => {
  const origin = `http://127.0.0.1:${study.server.port}`;
  expect((await study.ask('/api/imports/none/events')).status).toBe(404);
  expect((await study.ask('/api/imports/none', { method: 'DELETE', headers: { origin } })).status).toBe(404);
});

test('closing the server stops an import and leaves the study as it was', async () => {
  const other = await testStudy();
  mkdirSync(path.join(other.folder, 'incoming'));
  writeFileSync(path.join(other.folder, 'incoming', 'large.csv'), recording(3_000));
  writeFileSync(path.join(other.folder, 'incoming', 'recipe.yaml'), RECIPE);
  const was = readdirSync(path.join(other.folder, 'tasks')).sort();
  const origin = `http://127.0.0.1:${other.server.port}`;
  const body = JSON.stringify({
    file: 'incoming/large.csv',
    recipe: 'incoming/recipe.yaml',
    task: 'own-late',
  });
  const answer = await other.ask('/api/imports', {
    method: 'POST',
    headers: { origin, 'content-type': 'application/json' },
    body,
  });
  const stream = events(`${origin}/api/imports/${JSON.parse(answer.text).id}/events`, other.cookie);
  expect((await stream.next()).value.event).toBe('progress');
  await other.server.close();
  expect(readdirSync(path.join(other.folder, 'tasks')).sort()).toEqual(was);
  await stream.return(undefined);
  await other.end();
});
