import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { previewCsv } from './csv-preview.ts';

let place: string;
beforeEach(() => {
  place = mkdtempSync(path.join(tmpdir(), 'striderule-preview-'));
});
afterEach(() => rmSync(place, { recursive: true, force: true }));

const of = (data: string | Uint8Array, said = {}) => {
  const file = path.join(place, 'walk.csv');
  writeFileSync(file, data);
  return previewCsv(file, 'walk.csv', said);
};

test.each([
  [
    'semicolons and decimal commas below a comment and a line of units',
    '# ours\nt [s];knee;note\ns;deg;\n0,00;1,5;"a;b"\n0,01;2,5;\n',
    { delimiter: ';', decimal: ',', namesLine: 2, dataLine: 4 },
    ['t [s]', 'knee', 'note'],
    [
      ['0,00', '1,5', 'a;b'],
      ['0,01', '2,5', ''],
    ],
  ],
  [
    'commas and points, CR LF, a byte-order mark',
    '\uFEFFt,"knee, left"\r\n0,1.5\r\n1,-2e-1\r\n',
    { delimiter: ',', decimal: '.', namesLine: 1, dataLine: 2 },
    ['t', 'knee, left'],
    [
      ['0', '1.5'],
      ['1', '-2e-1'],
    ],
  ],
  [
    'tabs',
    't\tknee\n0.5\t1\n',
    { delimiter: 'tab', decimal: '.', namesLine: 1, dataLine: 2 },
    ['t', 'knee'],
    [['0.5', '1']],
  ],
] as const)('%s', async (_, text, layout, names, rows) => {
  expect(await of(text)).toEqual({ layout, names, rows });
});

test('what is said is not proposed', async () => {
  const { layout, names, rows } = await of('a;b\nc;d\n1;2\n3;4\n', {
    namesLine: 2,
    delimiter: ';',
    dataLine: 4,
  });
  expect(layout).toEqual({ delimiter: ';', decimal: '.', namesLine: 2, dataLine: 4 });
  expect([names, rows]).toEqual([['c', 'd'], [['3', '4']]]);
});

test('a long file is looked at where it begins, and its cut line is left out', async () => {
  const { rows } = await of(`t,é\n${'1,2\n'.repeat(40_000)}`);
  expect(rows).toHaveLength(5);
  expect((await of(`t,é\n1,2\n${`é,${'é'.repeat(999)}\n`.repeat(60)}`)).rows[0]).toEqual(['1', '2']);
});

test('what is no CSV is said', async () => {
  await expect(of('')).rejects.toThrow('walk.csv: this file is empty. Export the recording again.');
  await expect(of(Uint8Array.of(0x74, 0, 0x0a))).rejects.toThrow('it holds a zero byte');
  await expect(of(Buffer.from('t;Fußkontakt\n1;2\n', 'latin1'))).rejects.toThrow('is not UTF-8 text');
});
