import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { editRatios } from './edit-ratios.ts';
import { lineDiff } from './line-diff.ts';

let folder: string;
beforeEach(() => {
  folder = path.join(mkdtempSync(path.join(tmpdir(), 'striderule-edit-')), 'tern');
  cpSync(path.join(import.meta.dirname, '../examples/tern'), folder, { recursive: true });
});
afterEach(() => rmSync(path.dirname(folder), { recursive: true }));

const leg = () => path.join(folder, 'legs/tern.yaml');
const change = (from: string, to: string) =>
  writeFileSync(leg(), readFileSync(leg(), 'utf8').replace(from, to));

test('each joint has its own line; comments and everything else stay; nothing is written', async () => {
  change('      ratio: 22\n', '      ratio: 22 # motor ÷ joint\n');
  const on = readFileSync(leg(), 'utf8');
  const edit = await editRatios(folder, { knee: 20, ankle: 18.5 });
  const lines = on.split('\n');
  const [knee, ankle] = lines.flatMap((line, k) => (/^ {6}ratio: 22/.test(line) ? [k] : []));
  expect(edit.after.split('\n')).toEqual(
    lines.with(knee!, '      ratio: 20 # motor ÷ joint').with(ankle!, '      ratio: 18.5'),
  );
  expect([edit.file, edit.before, readFileSync(leg(), 'utf8')]).toEqual(['legs/tern.yaml', on, on]);
});

test('a ratio with a spread keeps it', async () => {
  change(
    '      ratio: 22\n',
    '      ratio: { value: 22, range: 1 %, basis: assumed, because: not counted yet }\n',
  );
  const { before, after } = await editRatios(folder, { knee: 21 });
  expect(lineDiff(before, after)?.after).toEqual([
    '      ratio: { value: 21, range: 1 %, basis: assumed, because: not counted yet }',
  ]);
});

test('a ratio that the stages do not multiply to is refused with the line', async () => {
  change(
    '      ratio: 22\n',
    '      ratio: 22\n      stages: [{ kind: planetary, ratio: 4.4 }, { kind: planetary, ratio: 5 }]\n',
  );
  await expect(editRatios(folder, { knee: 18 })).rejects.toMatchObject({
    faults: [{ code: 'store.stages', place: { file: 'legs/tern.yaml' } }],
  });
});

test('a joint that the leg does not drive is refused', async () => {
  writeFileSync(
    path.join(folder, 'study.yaml'),
    readFileSync(path.join(folder, 'study.yaml'), 'utf8').replace('leg: tern', 'leg: passive'),
  );
  writeFileSync(path.join(folder, 'requirements.yaml'), '[]\n');
  await expect(editRatios(folder, { knee: 18 })).rejects.toMatchObject({
    faults: [{ code: 'store.no-such-value', place: { file: 'legs/passive.yaml' } }],
  });
});
