import { mkdtempSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { ENGINE_VERSION } from '@striderule/engine';
import fc from 'fast-check';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { fromPlain, toPlain } from './result-json.ts';
import { nearResult, readResult, resultOf, writeResult } from './results.ts';
import { staleness, stalenessText } from './staleness.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'striderule-results-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const KEY = { stage: 'drive', inputs: { 'legs/tern.yaml': 'aa', 'wearers/w01.yaml': 'bb' } };
const VALUE = {
  peak: 8.38,
  missing: Number.NaN,
  curve: Float64Array.of(1, Number.NaN, -0, 0.1 + 0.2),
  note: 'τ',
};
const onlyFile = () =>
  path.join(folder, 'results', 'drive', readdirSync(path.join(folder, 'results', 'drive'))[0]!);

/** One asking: what came, how often it was computed for it, and what was said. */
async function ask(key: Parameters<typeof readResult>[1] = KEY) {
  const said: string[] = [];
  let computed = 0;
  const compute = () => {
    computed++;
    return VALUE;
  };
  const value = await resultOf(folder, key, 'striderule drive check', compute, (words) => said.push(words));
  return { value, computed, said };
}

test('a result reads back bit for bit with what it was made from', async () => {
  await writeResult(folder, { ...KEY, seed: 7 }, 'striderule drive check', VALUE);
  const stored = await readResult(folder, { ...KEY, seed: 7 });
  expect(stored).toMatchObject({
    state: 'fits',
    value: VALUE,
    header: {
      format: 1,
      stage: 'drive',
      engineVersion: ENGINE_VERSION,
      inputs: KEY.inputs,
      seed: 7,
      command: 'striderule drive check',
    },
  });
  expect(await readResult(folder, KEY)).toEqual({ state: 'none' });
});

test('computed once, then read; deleted at any time, computed again', async () => {
  expect(await ask()).toEqual({ value: VALUE, computed: 1, said: [] });
  expect(await ask()).toEqual({ value: VALUE, computed: 0, said: [] });
  rmSync(path.join(folder, 'results'), { recursive: true });
  expect(await ask()).toEqual({ value: VALUE, computed: 1, said: [] });
});

test('a result is stale through each input, and says through which', async () => {
  await ask();
  const key = { ...KEY, inputs: { 'legs/tern.yaml': 'cc', 'wearers/w01.yaml': 'bb' } };
  expect(await ask(key)).toEqual({
    value: VALUE,
    computed: 1,
    said: ['the stored drive result is stale (legs/tern.yaml changed) and is computed anew'],
  });
  expect((await ask(key)).computed).toBe(0);
});

test('what no longer fits is found again with what has changed, the nearest first, and only where the rest is the same', async () => {
  const key = { stage: 'walks', inputs: { walk: 'w', leg: 'a', wearer: 'a' } };
  await writeResult(folder, key, 'evidence ledger', { figure: Number.NaN });
  await writeResult(folder, { ...key, inputs: { walk: 'w', leg: 'b', wearer: 'b' } }, 'evidence ledger', 2);
  await writeResult(folder, { ...key, inputs: { walk: 'v', leg: 'c', wearer: 'a' } }, 'evidence ledger', 3);
  const now = { ...key, inputs: { walk: 'w', leg: 'c', wearer: 'a' } };
  expect(await nearResult(folder, now, ['walk'])).toEqual({
    value: { figure: Number.NaN },
    changed: 'leg changed',
  });
  expect(
    await nearResult(folder, { ...now, inputs: { ...now.inputs, walk: 'u' } }, ['walk']),
  ).toBeUndefined();
  for (const name of readdirSync(path.join(folder, 'results/walks')))
    truncateSync(path.join(folder, 'results/walks', name), 40);
  expect(await nearResult(folder, now, ['walk'])).toBeUndefined();
});

test('a file that was cut off or edited is never used: computed anew, and said', async () => {
  await ask();
  const whole = readFileSync(onlyFile(), 'utf8');
  const name = `results/drive/${path.basename(onlyFile())}`;
  truncateSync(onlyFile(), whole.length - 20);
  expect(await ask()).toEqual({
    value: VALUE,
    computed: 1,
    said: [`${name} is broken (cut off, or no JSON) and is computed anew`],
  });
  expect(readFileSync(onlyFile(), 'utf8')).toBe(whole);
  for (const [edit, why] of [
    [whole.replace('8.38', '9.38'), 'its value was changed after it was made'],
    [whole.replace('"aa"', '"zz"'), 'its header belongs to another result'],
    [whole.replace('"format":1', '"format":9'), 'of format 9'],
    ['{}', 'without header or value'],
  ] as const) {
    writeFileSync(onlyFile(), edit);
    expect(await ask()).toEqual({
      value: VALUE,
      computed: 1,
      said: [`${name} is broken (${why}) and is computed anew`],
    });
  }
});

test('cut off at every length it is never taken for whole', async () => {
  await ask();
  const whole = readFileSync(onlyFile());
  for (let length = 0; length < whole.length - 1; length++) {
    writeFileSync(onlyFile(), whole.subarray(0, length));
    expect((await readResult(folder, KEY)).state).toBe('broken');
  }
});

test('a result that cannot be stored is still given, and that is said', async () => {
  writeFileSync(path.join(folder, 'results'), 'a file in the way');
  const { value, said } = await ask();
  expect(value).toEqual(VALUE);
  expect(said).toHaveLength(1);
  expect(said[0]).toContain('the drive result could not be stored: ');
});

test('staleness names what changed, what is new, what is gone, the engine and the seed', () => {
  const made = { engineVersion: '0.0.9', inputs: { a: '1', b: '2', c: '3' }, seed: 1 };
  expect(staleness(made, { inputs: { a: '1', b: '9', d: '4' }, seed: 2 })).toEqual({
    stale: true,
    changed: ['b'],
    added: ['d'],
    removed: ['c'],
    engine: true,
    seed: true,
  });
  expect(stalenessText(made, { inputs: { a: '1', b: '9', d: '4' } })).toBe(
    `b changed; d is new; c is gone; engine 0.0.9, now ${ENGINE_VERSION}; seed 1, now none`,
  );
  const fresh = { engineVersion: ENGINE_VERSION, inputs: { a: '1' } };
  expect([staleness(fresh, fresh).stale, stalenessText(fresh, fresh)]).toEqual([false, '']);
});

test('property: any double and any plain data read back the same', () => {
  fc.assert(
    fc.property(
      fc.anything({
        values: [fc.double(), fc.string(), fc.boolean(), fc.constant(null), fc.float64Array()],
        key: fc.stringMatching(/^[a-z]{0,4}$/),
      }),
      (value) => {
        expect(fromPlain(JSON.parse(JSON.stringify(toPlain(value))))).toEqual(value);
      },
    ),
  );
});
