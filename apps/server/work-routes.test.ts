import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import {
  changedStudy,
  faultPieces,
  openPowerCut,
  openTolerance,
  openWalkPrice,
  type StudyInput,
  withPrices,
} from '@striderule/engine';
import { openStudy } from '@striderule/store';
import type { WorkAsk, WorkNews, WorkParts } from '@striderule/wire';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { sentNumber } from './sent-number.ts';
import { type TestStudy, testStudy } from './test-study.ts';

const STEP = 5e-4;
/** Coarse and few, so that it is done in a moment. */
const FAULTS = {
  kind: 'faults' as const,
  thigh: 'led' as const,
  step: STEP,
  speeds: [1.1, 3.5],
  places: [0.45, 0.8],
};
const CUTS = { kind: 'cuts' as const, choice: { speed: 1.1 }, step: STEP, places: [0.45, 0.8] };
/** Many: nobody waits for its end. */
const LONG = {
  ...{ kind: 'faults' as const, thigh: 'led' as const, step: STEP, speeds: [0.8, 1.1, 1.4] },
  places: Array.from({ length: 100 }, (_, k) => k / 100),
};

let study: TestStudy;
let input: StudyInput;
let fingerprint: string;

beforeAll(async () => {
  study = await testStudy();
  input = (await openStudy(study.folder)).input;
  fingerprint = JSON.parse((await study.ask('/api/study')).text).fingerprint;
});
afterAll(() => study.end());

const send = (at: string, method: string, body?: unknown) =>
  study.ask(at, {
    method,
    headers: { origin: `http://127.0.0.1:${study.server.port}`, 'content-type': 'application/json' },
    ...(body !== undefined && { body: JSON.stringify(body) }),
  });
const post = async (ask: unknown, more: object = {}, at = '') => {
  const { status, text } = await send(`/api/work${at}`, 'POST', {
    ...{ design: { fingerprint, change: {} }, ask },
    ...more,
  });
  return { status, said: JSON.parse(Buffer.from(text, 'latin1').toString()) };
};
async function begin(ask: WorkAsk, more: object = {}): Promise<string> {
  const { status, said } = await post(ask, more);
  expect([status, said]).toEqual([202, { id: expect.stringMatching(/^[\w-]{36}$/) }]);
  return said.id;
}

async function news(id: string, from = 0): Promise<WorkNews> {
  const { status, text } = await study.ask(`/api/work/${id}?from=${from}`);
  expect(status).toBe(200);
  return JSON.parse(Buffer.from(text, 'latin1').toString());
}

/** As a page follows it: what is new since the last look, until its end. */
async function followed(id: string, from = 0): Promise<WorkNews & { readonly steps: readonly number[] }> {
  const parts: WorkNews['parts'][number][] = [];
  const steps: number[] = [];
  for (;;) {
    const now = await news(id, from + parts.length);
    parts.push(...now.parts);
    if (now.progress !== undefined) steps.push(now.progress.done);
    if (now.end !== undefined) return { parts, end: now.end, steps };
    await sleep(20);
  }
}

/** As it arrives: numbers that have no JSON named. */
const sent = <T>(x: T): T => JSON.parse(JSON.stringify(x, sentNumber));

describe('parts are those of the engine called by itself, in the order of what was asked', () => {
  test('power cuts of a design whose ratio is another than the study’s; whoever asks the same finds them', async () => {
    const change = { ratios: { knee: 18 } };
    const design = { fingerprint, change };
    expect((await post(CUTS, { design }, '/find')).said).toEqual({});
    const id = await begin(CUTS, { design });
    expect((await post(CUTS, { design }, '/find')).said).toEqual({ id });
    expect(await begin(CUTS, { design })).toBe(id); // two pages, one work
    const { parts, end } = await followed(id);
    const open = openPowerCut(changedStudy(input, change), { speed: 1.1 }, STEP);
    if ('openBecause' in open) throw new Error(open.openBecause);
    const cuts = [0.45, 0.8].map((place) => open.at(place));
    expect(parts).toEqual(sent(cuts.map((cut) => ({ cut, stance: open.stance }))));
    // a leg that does not reach 60° of knee says so with a number that has no JSON
    expect(JSON.stringify(parts)).toContain('{"number":"NaN"}');
    // and whoever asks the same later, or reads on from a part that is known
    expect((await post(CUTS, { design }, '/find')).said).toEqual({ id });
    expect(await begin(CUTS, { design })).toBe(id);
    expect(await followed(id)).toMatchObject({ parts, end });
    expect((await followed(id, 1)).parts).toEqual(parts.slice(1));
    expect((await study.ask(`/api/work/${id}?from=-1`)).status).toBe(422);
    // a walk reads no requirement: asked otherwise, it is the same
    const [one] = input.requirements;
    const reworded = { ...change, requirements: [{ ...one!, because: 'another reason' }] };
    expect((await post(CUTS, { design: { fingerprint, change: reworded } }, '/find')).said).toEqual({ id });
    const again = await begin(CUTS, { design, anew: true });
    expect(again).not.toBe(id);
    await send(`/api/work/${again}`, 'DELETE');
  });

  test('prices; cancelled, they end at once and what was found is kept', async () => {
    const [choice, length] = [{ speed: 1.1 }, { step: STEP, strides: 6 }];
    const id = await begin({ kind: 'price', choice, ...length });
    let found: WorkParts['price'][] = [];
    while (found.length < 2) {
      found = (await news(id)).parts as WorkParts['price'][];
      await sleep(20);
    }
    const start = performance.now();
    expect((await send(`/api/work/${id}`, 'DELETE')).status).toBe(202);
    const { parts, end } = await followed(id);
    expect(performance.now() - start).toBeLessThan(5_000); // its end is half a minute away
    expect(end).toEqual({ kind: 'cancelled' });
    expect(parts.slice(0, found.length)).toEqual(found);
    expect((await post({ kind: 'price', choice, ...length }, {}, '/find')).said).toEqual({});
    const run = openWalkPrice(input, choice, length);
    if ('openBecause' in run) throw new Error(run.openBecause);
    const two = found.slice(0, 2);
    expect(
      withPrices(
        two[0]!.planned,
        two.map(({ priced }) => priced),
      ),
    ).toEqual(sent(withPrices(run.planned, [0, 1].map(run.at))));
  });

  test('tolerances of the requirements that are named, one of them asked otherwise', async () => {
    const [first, second] = input.requirements.filter(({ joint }) => joint === 'knee');
    const harder = { ...first!, bound: { ...first!.bound, value: 1.5 * first!.bound.value } };
    const ask: WorkAsk = { kind: 'tolerance', asked: [first!.id, second!.id], draws: 25, seed: 3 };
    const change = { requirements: [harder] };
    const { parts, end } = await followed(await begin(ask, { design: { fingerprint, change } }));
    const run = openTolerance({ ...input, requirements: [harder, second!] }, { seed: 3 });
    run.draw(25);
    expect(parts).toEqual([sent(run.result())]);
    expect(end!.kind).toBe('done');
  });
});

test('another of its kind takes its place: faults, speed by speed, with the reason where one cannot be walked', async () => {
  const id = await begin(LONG);
  while ((await news(id)).parts.length < 1) await sleep(20);
  // the server answers while all its threads are at work
  expect((await study.ask('/api/study')).status).toBe(200);
  expect((await news(id)).end).toBeUndefined();
  const found = await followed(await begin(FAULTS));
  const before = await followed(id);
  expect([before.end, before.parts.length > 0]).toEqual([{ kind: 'cancelled' }, true]);
  const piece = faultPieces({ input, thigh: 'led', step: STEP });
  const all = FAULTS.speeds.flatMap((speed) => FAULTS.places.map((place) => piece({ speed, place })));
  expect(found.parts).toEqual(sent(all));
  expect(found.parts.map((part) => 'noneBecause' in part)).toEqual([false, false, true, true]);
  expect(found.end).toEqual({ kind: 'done', took: expect.any(Number) });
  expect(found.steps).toEqual(found.steps.toSorted((a, b) => a - b));
});

describe('refused', () => {
  test.each([
    [{ ask: { ...CUTS, step: 0 } }, '`ask.step`', '1e-5'],
    [{ ask: { ...CUTS, places: [1] } }, '`ask.places`', 'shares of the stride'],
    [{ ask: { ...CUTS, choice: { speed: '1.1' } } }, '`ask.choice.speed`', 'm/s'],
    [{ ask: { ...CUTS, choice: { speed: 1.1, change: {} } } }, '`ask.choice.change`', 'Leave it out'],
    [{ ask: { ...FAULTS, thigh: 'free' } }, '`ask.thigh`', '"led"'],
    [{ ask: { ...FAULTS, kind: 'rain' } }, '`ask.kind`', '"price"'],
    [
      { ask: { kind: 'price', choice: { speed: 1 }, step: STEP, strides: 6.5 } },
      '`ask.strides`',
      'whole number',
    ],
    [{ ask: { kind: 'tolerance', asked: ['a'], draws: 1e9, seed: 1 } }, '`ask.draws`', '100000'],
    [{ design: { fingerprint: 'x', change: {} } }, '`design.fingerprint`', 'came with the study'],
    [{ design: { change: { ratios: { knee: -1 } } } }, '`design.change.ratios.knee`', 'above zero'],
    [{ design: { change: { ratios: { hip: 20 } } } }, '`design.change.ratios.hip`', 'Leave it out'],
    [
      { design: { change: { requirements: [{ id: 'a' }] } } },
      '`design.change.requirements`',
      'ask something else',
    ],
    [
      { design: { leg: { name: '../secret', fingerprint: '0'.repeat(64) } } },
      '`design.leg.name`',
      'without its ending',
    ],
    [{ design: { leg: { name: 'tern-9' } } }, '`design.leg`', 'or neither'],
    [{ anew: 1 }, '`anew`', 'true or false'],
  ])('%j is 422 and names the field and what it may be', async (wrong, field, mend) => {
    const { design, ...rest } = wrong as { design?: object };
    const { status, said } = await post(CUTS, { design: { fingerprint, change: {}, ...design }, ...rest });
    expect(status).toBe(422);
    expect(said.faults[0].what).toContain(field);
    expect(said.faults[0].mend).toContain(mend);
  });

  test('a requirement that the study does not have', async () => {
    const strange = { ...input.requirements[0]!, id: 'nowhere' };
    const asked = { kind: 'tolerance', asked: ['nowhere'], draws: 1, seed: 1 };
    const { status, said } = await post(asked, {
      design: { fingerprint, change: { requirements: [strange] } },
    });
    expect([status, said.faults[0].what]).toEqual([422, expect.stringContaining('names nowhere')]);
  });

  test('what is no request, what another page could send, what never was', async () => {
    expect((await send('/api/work', 'POST', null)).status).toBe(422);
    const origin = `http://127.0.0.1:${study.server.port}`;
    const form = { origin, 'content-type': 'application/x-www-form-urlencoded' };
    expect((await study.ask('/api/work', { method: 'POST', headers: form, body: 'a=b' })).status).toBe(415);
    const foreign = { origin: 'http://elsewhere.example', 'content-type': 'application/json' };
    expect((await study.ask('/api/work', { method: 'POST', headers: foreign, body: '{}' })).status).toBe(403);
    expect((await study.ask('/api/work', { headers: { cookie: undefined } })).status).toBe(401);
    expect((await study.ask('/api/work/none')).status).toBe(404);
    expect((await send('/api/work/none', 'DELETE')).status).toBe(404);
  });

  test('a study that has become another on disk, and another leg that has: 409, and nothing is begun', async () => {
    const { legs } = JSON.parse(Buffer.from((await study.ask('/api/study/legs')).text, 'latin1').toString());
    const leg = legs.find((each: { name: string }) => each.name === 'tern-100');
    const high = { fingerprint, change: {}, leg: { name: leg.name, fingerprint: leg.fingerprint } };
    const ask = { ...CUTS, places: [0.3] };
    const { parts } = await followed(await begin(ask, { design: high }));
    const open = openPowerCut(
      (await openStudy(study.folder, { leg: 'tern-100' })).input,
      { speed: 1.1 },
      STEP,
    );
    if ('openBecause' in open) throw new Error(open.openBecause);
    expect(parts).toEqual(sent([{ cut: open.at(0.3), stance: open.stance }]));

    const file = path.join(study.folder, 'legs/tern-100.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replaceAll('ratio: 100', 'ratio: 60'));
    const other = await post(ask, { design: high });
    expect([other.status, other.said.faults[0].what]).toEqual([
      409,
      'the leg tern-100 on disk is no longer the one that this page read',
    ]);
    const own = path.join(study.folder, 'legs/tern.yaml');
    writeFileSync(own, readFileSync(own, 'utf8').replaceAll(/ratio: 22\b/g, 'ratio: 24'));
    const { status, said } = await post(ask);
    expect([status, said.faults[0].code]).toEqual([409, 'server.study-changed']);
    expect(said.faults[0].mend).toContain('reload the page');
    expect((await post(ask, {}, '/find')).said).toEqual({});
  });
});
