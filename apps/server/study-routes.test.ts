import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { gunzipSync } from 'node:zlib';
import { catalogueEntry, ENGINE_VERSION, metricCatalogue } from '@striderule/engine';
import { fingerprint, openStudy, writeFileAtomic } from '@striderule/store';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { events, raw, type TestStudy, testStudy } from './test-study.ts';

let study: TestStudy;
beforeAll(async () => {
  study = await testStudy();
});
afterAll(() => study.end());

const wearer = () => path.join(study.folder, 'wearers', 'w01.yaml');
const changes = () => events(`http://127.0.0.1:${study.server.port}/api/study/changes`, study.cookie);
const get = async () => JSON.parse(Buffer.from((await study.ask('/api/study')).text, 'latin1').toString());

test('the study arrives as it was read, bit for bit', async () => {
  const payload = await get();
  const { input } = await openStudy(study.folder);
  expect(payload.input).toEqual(input);
  expect(payload).toMatchObject({
    folderName: 'tern',
    engineVersion: ENGINE_VERSION,
    fingerprint: fingerprint(payload.input),
  });
  const names = new Set(input.requirements.map(({ metric }) => metric));
  expect(Object.keys(payload.metrics).toSorted()).toEqual([...names].toSorted());
  for (const name of names)
    expect({ ...catalogueEntry(name), ...metricCatalogue[name] }).toMatchObject(payload.metrics[name]);
});

test('who takes it compressed gets the same', async () => {
  const plain = await study.ask('/api/study');
  const packed = await study.ask('/api/study', { headers: { 'Accept-Encoding': 'gzip' } });
  expect(plain.headers['content-encoding']).toBeUndefined();
  expect(packed.headers['content-encoding']).toBe('gzip');
  expect(gunzipSync(Buffer.from(packed.text, 'latin1')).toString('latin1')).toBe(plain.text);
});

test('a changed file is read anew; a fault in it comes as 422 with its place, and the mended file is read again', async () => {
  const sound = readFileSync(wearer(), 'utf8');
  const before = await get();
  expect((await get()).readAt).toBe(before.readAt); // nothing changed: not read again
  writeFileSync(wearer(), sound.replace(/massWithoutDevice:.*/, 'massWithoutDevice: 90 kg'));
  expect((await get()).input.wearer.mass).toBe(90);
  writeFileSync(wearer(), sound.replace(/massWithoutDevice:.*/, 'massWithoutDevice: 90 m'));
  const answer = await study.ask('/api/study');
  expect(answer.status).toBe(422);
  const [fault] = JSON.parse(Buffer.from(answer.text, 'latin1').toString()).faults;
  expect(fault.place.file).toBe('wearers/w01.yaml');
  expect(fault.what).toContain('mass');
  writeFileSync(wearer(), sound);
  expect((await get()).fingerprint).toBe(before.fingerprint);
});

test('a change on disk is told, with the files, to every listener; derived results are not', async () => {
  const streams = [changes(), changes()];
  const first = await Promise.all(streams.map((stream) => stream.next()));
  const { state } = await get();
  for (const { value } of first) expect(value).toEqual({ event: 'state', data: { state, files: [] } });
  rmSync(path.join(study.folder, 'results'), { recursive: true, force: true });
  writeFileSync(path.join(study.folder, '.striderule.lock'), 'x');
  await writeFileAtomic(wearer(), `${readFileSync(wearer(), 'utf8')}# looked at\n`);
  writeFileSync(path.join(study.folder, 'requirements.yaml.mine'), 'new');
  for (const stream of streams) {
    const files: string[] = [];
    let state = '';
    while (files.length < 2) {
      const { value } = await stream.next();
      expect(value.event).toBe('state');
      files.push(...value.data.files);
      state = value.data.state;
    }
    expect(files).toEqual(['requirements.yaml.mine', 'wearers/w01.yaml']);
    expect(state).toBe((await get()).state);
    await stream.return(undefined);
  }
});

test('a body beyond 64 kB is 413, whether it says its length or not', async () => {
  const body = JSON.stringify({ file: 'x'.repeat(65 * 1024) });
  const headers = {
    cookie: study.cookie,
    origin: `http://127.0.0.1:${study.server.port}`,
    'content-type': 'application/json',
  };
  for (const length of [{ 'content-length': String(body.length) }, { 'transfer-encoding': 'chunked' }]) {
    const answer = await raw(study.server.port, '/api/imports', {
      method: 'POST',
      headers: { ...headers, ...length },
      body,
    });
    expect(answer.status).toBe(413);
    expect(JSON.parse(answer.text).faults[0]).toMatchObject({
      what: 'a request may hold 64 kB',
      mend: 'Put the file into the study folder and name it',
    });
  }
});

test('a leg that does not say its bus and its air travels without them', async () => {
  const file = path.join(study.folder, 'study.yaml');
  const sound = readFileSync(file, 'utf8');
  writeFileSync(file, sound.replace('leg: tern', 'leg: passive'));
  const answer = await study.ask('/api/study');
  writeFileSync(file, sound);
  expect(answer.status).toBe(200);
  const { leg } = JSON.parse(Buffer.from(answer.text, 'latin1').toString()).input;
  expect(leg.name).toBe((await openStudy(study.folder, { leg: 'passive' })).input.leg.name);
  expect(Object.keys(leg)).not.toContain('busVoltage');
  expect(Object.keys(leg)).not.toContain('ambientTemperature');
});

test('the legs of the study come side by side; one that cannot be read is named', async () => {
  const file = path.join(study.folder, 'legs/tern-9.yaml');
  const sound = readFileSync(file, 'utf8');
  writeFileSync(file, sound.replace('ratio: 9', 'ratio: nine'));
  const answer = await study.ask('/api/study/legs');
  writeFileSync(file, sound);
  const { legs, faulty } = JSON.parse(Buffer.from(answer.text, 'latin1').toString());
  expect(faulty).toEqual(['tern-9']);
  expect(legs.map((each: { name: string }) => each.name)).toEqual(['passive', 'tern', 'tern-100', 'tern-50']);
  for (const name of ['tern', 'tern-100', 'tern-50']) {
    const { input } = await openStudy(study.folder, { leg: name });
    expect(legs.find((each: { name: string }) => each.name === name)).toEqual({
      name,
      leg: input.leg,
      spreads: input.spreads,
      fingerprint: fingerprint({ leg: input.leg, spreads: input.spreads }),
    });
  }
});

test('the hazards come with what is named to show their measures; a fault in their file comes as 422', async () => {
  const answer = await study.ask('/api/study/hazards');
  expect(answer.status).toBe(200);
  const { hazards } = JSON.parse(Buffer.from(answer.text, 'latin1').toString());
  expect(hazards.map(({ id }: { id: string }) => id)).toEqual(
    (await openStudy(study.folder)).hazards.map(({ id }) => id),
  );
  expect(hazards.find(({ id }: { id: string }) => id === 'state-trap').evidence).toEqual([
    ...['controller-sound', 'walk-strides', 'walk-sound'].map((name) => ({ kind: 'requirement', name })),
    { kind: 'scenario', name: 'stop-and-start' },
    { kind: 'scenario', name: 'hold-in-swing' },
    { kind: 'scenario', name: 'cadence' },
    { kind: 'scenario', name: 'chair' },
  ]);
  expect(hazards.find(({ id }: { id: string }) => id === 'wrong-constant').evidence).toEqual([]);
  const file = path.join(study.folder, 'hazards.yaml');
  const sound = readFileSync(file, 'utf8');
  writeFileSync(file, sound.replace('harm:', 'harms:'));
  const broken = await study.ask('/api/study/hazards');
  writeFileSync(file, sound);
  expect(broken.status).toBe(422);
  expect(broken.text).toContain('harms');
});
