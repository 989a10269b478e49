import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Fault } from '@striderule/engine';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { CsvLayout } from './csv-layout.ts';
import { readCsv } from './csv-stream.ts';

let place: string;
beforeAll(() => {
  place = mkdtempSync(path.join(tmpdir(), 'striderule-csv-'));
});
afterAll(() => rmSync(place, { recursive: true, force: true }));

const COMMA: CsvLayout = { delimiter: ',', decimal: '.' };

async function rowsOf(
  content: string | Uint8Array,
  columns: readonly (string | number)[] = ['t', 'x'],
  layout: CsvLayout = COMMA,
): Promise<[line: number, ...values: number[]][]> {
  const file = path.join(place, 'a.csv');
  writeFileSync(file, content);
  const rows: [number, ...number[]][] = [];
  await readCsv(file, 'a.csv', layout, columns, { row: (values, line) => rows.push([line, ...values]) });
  return rows;
}

/** What is said of a file; the texts are the contract. */
async function said(...args: Parameters<typeof rowsOf>): Promise<string> {
  try {
    await rowsOf(...args);
  } catch (error) {
    if (error instanceof Fault) return error.message;
    throw error;
  }
  return 'nothing';
}

const TWO = [
  [2, 1, 10],
  [3, 2, 20],
];

describe('read as it stands', () => {
  test.each([
    ['LF', 't,x\n1,10\n2,20\n'],
    ['no end of line at the end', 't,x\n1,10\n2,20'],
    ['CR LF', 't,x\r\n1,10\r\n2,20\r\n'],
    ['CR', 't,x\r1,10\r2,20\r'],
    ['mixed line ends', 't,x\r\n1,10\n2,20\r'],
    ['a byte-order mark', '\uFEFFt,x\n1,10\n2,20\n'],
    ['empty lines at the end', 't,x\n1,10\n2,20\n\n\n'],
    ['delimiters alone at the end, as spreadsheets leave them', 't,x\n1,10\n2,20\n,\n,\n'],
    ['quoted numbers and names', '"t","x"\n"1","10"\n2,"20"\n'],
    ['blanks round cells', ' t , x \n 1 , 10\n2\t, 20 \n'],
  ])('%s', async (_, text) => {
    expect(await rowsOf(text)).toEqual(TWO);
  });

  test('other columns, quoted ones with delimiters, quotes and line ends in them, are skipped', async () => {
    const text = 't,"a ""b"", c",x\n1,"kept; out, ""so""",10\n2,"two\nlines",20\n3,5",30\n';
    expect(await rowsOf(text)).toEqual([
      [2, 1, 10],
      [3, 2, 20],
      [5, 3, 30],
    ]);
  });

  test('semicolons with decimal commas, tabs, comments before the names, units under them', async () => {
    expect(await rowsOf('t;x\n1,5;10\n', ['t', 'x'], { delimiter: ';', decimal: ',' })).toEqual([
      [2, 1.5, 10],
    ]);
    expect(await rowsOf('t\tx\n1.5\t10\n', ['t', 'x'], { delimiter: '\t', decimal: '.' })).toEqual([
      [2, 1.5, 10],
    ]);
    expect(await rowsOf('# made here\n\nt,x\n1,10\n')).toEqual([[4, 1, 10]]);
    expect(await rowsOf('t,x\ns,deg\n1,10\n', ['t', 'x'], { ...COMMA, dataLine: 3 })).toEqual([[3, 1, 10]]);
    const deep = 'Trial 3\nt,x\ns,deg\n1,10\n';
    expect(await rowsOf(deep, ['t', 'x'], { ...COMMA, namesLine: 2, dataLine: 4 })).toEqual([[4, 1, 10]]);
  });

  test('columns in any order, by name or by place; a file without names', async () => {
    expect(await rowsOf('a,x,t\n0,10,1\n', ['t', 'x'])).toEqual([[2, 1, 10]]);
    expect(await rowsOf('x,x,t\n0,10,1\n', ['t', 2])).toEqual([[2, 1, 10]]);
    expect(await rowsOf('1,10\n2,20\n', [1, 2], { ...COMMA, namesLine: 0 })).toEqual([
      [1, 1, 10],
      [2, 2, 20],
    ]);
    expect(await rowsOf('junk\n1,10\n', [2, 1], { ...COMMA, namesLine: 0, dataLine: 2 })).toEqual([
      [2, 10, 1],
    ]);
  });

  test('as a plain reading of the whole text, wherever the pieces are cut', async () => {
    // more than two buffers of rows whose lengths vary, so that rows, quotes and CR LF fall on the seams
    const number = fc.double({ min: -1e5, max: 1e5, noNaN: true });
    const some = fc.sample(fc.tuple(number, fc.stringMatching(/^[a-z,\n"]{0,40}$/), number), {
      numRuns: 4_000,
      seed: 21,
    });
    const rows = Array.from({ length: 15 }, () => some).flat();
    let line = 2;
    const want: number[][] = [];
    const text = rows.map(([a, note, b], i) => {
      want.push([line, a + 0, b + 0]); // −0 is printed as 0
      line += 1 + note.split('\n').length - 1;
      return `${a},"${note.replaceAll('"', '""')}",${b}${['\n', '\r\n', '\r'][i % 3]}`;
    });
    const whole = `t,note,x\n${text.join('')}`;
    expect(whole.length).toBeGreaterThan(2.5 * 2 ** 20);
    expect(await rowsOf(whole)).toEqual(want);
  });
});

describe('what is wrong, where, and how to mend it', () => {
  test('no such file, a folder', async () => {
    const missing = readCsv(path.join(place, 'none.csv'), 'none.csv', COMMA, ['t'], { row: () => {} });
    await expect(missing).rejects.toThrow('none.csv: there is no such file. Correct its name.');
    await expect(readCsv(place, 'folder', COMMA, ['t'], { row: () => {} })).rejects.toThrow(
      'folder: this is not a file. Name a CSV file.',
    );
  });

  test('an empty file, names without rows, only comments', async () => {
    expect(await said('')).toBe('a.csv: this file is empty. Export the recording again.');
    expect(await said('t,x\n')).toBe(
      'a.csv:1: there is no row of data after the names. Export the recording again, or correct `dataLine:`.',
    );
    expect(await said('# a\n# b\n')).toBe(
      'a.csv: there is no line of column names among 2 lines. Correct `namesLine:` of the recipe.',
    );
  });

  test('a missing column with the nearest name, a doubled one, all at once', async () => {
    expect(await said('time,Knee ang,x,x\n1,2,3,4\n', ['time', 'Knee angle', 'x', 7, 'power'])).toBe(
      [
        'a.csv:1: there is no column `Knee angle`. Did you mean `Knee ang`?',
        'a.csv:1: the column `x` stands 2 times, at places 3, 4. Name it by its place in the recipe, such as `column: 3`.',
        'a.csv:1: there is no column 7, this line has 4. This file has: `time`, `Knee ang`, `x`, `x`.',
        'a.csv:1: there is no column `power`. This file has: `time`, `Knee ang`, `x`, `x`.',
      ].join('\n'),
    );
    expect(await said('t,x\n1,2\n', ['t', 't'])).toBe(
      'a.csv:1: the recipe maps `t` twice. Give each quantity a column of its own.',
    );
  });

  test('another delimiter than the recipe says', async () => {
    expect(await said('t;x\n1;2\n')).toBe(
      'a.csv:1: this line has one column, and a semicolon in it. Write `delimiter: ";"` in the recipe.',
    );
    expect(await said('t\tx\n1\t2\n')).toContain('Write `delimiter: tab` in the recipe');
  });

  test('decimal commas, quoted or between semicolons, and the other way round', async () => {
    expect(await said('t,x\n1,"2,5"\n')).toBe(
      'a.csv:2:4 column `x`: `2,5` has a decimal comma. Write `decimal: ","` in the recipe.\n  1,"2,5"\n     ^',
    );
    expect(await said('t;x\n1;2.5\n', ['t', 'x'], { delimiter: ';', decimal: ',' })).toContain(
      'a.csv:2:3 column `x`: `2.5` has a decimal point. Write `decimal: "."` in the recipe.',
    );
    expect(await said('t,x\n0,01,2,5\n')).toBe(
      'a.csv:2: this row has 4 cells, the header 2. Correct the row; numbers with decimal commas cannot be delimited by commas: export them with `;`.\n  0,01,2,5',
    );
  });

  test('missing values of every spelling, each with line and column', async () => {
    const cells = ['', 'NaN', 'nan', 'NA', '-', 'null', '#N/A'];
    const text = await said(`t,x\n${cells.map((cell, i) => `${i},${cell}`).join('\n')}\n`);
    expect(text.split('\n').filter((line) => line.startsWith('a.csv'))).toEqual(
      cells.map(
        (cell, i) =>
          `a.csv:${i + 2}:3 column \`x\`: this cell is ${cell === '' ? 'empty' : `\`${cell}\``}. Restore the value, or name its stride under \`leaveOut:\` of the recipe; nothing is filled in.`,
      ),
    );
  });

  test('text, infinity, and a units row that was not announced', async () => {
    expect(await said('t,x\n1,2\n2,3\n3,4\n4,abc\n')).toContain(
      'a.csv:5:3 column `x`: `abc` is not a number. Correct it.',
    );
    expect(await said('t,x\n1,inf\n')).toContain('`inf` is not a number');
    expect(await said('t,x\n1,1e999\n')).toContain('`1e999` is not a number');
    expect(await said('t,x\ns,deg\n1,2\n')).toContain(
      'a.csv:2:3 column `x`: `deg` is not a number. Correct it; if this line still belongs to the head, give `dataLine:`.',
    );
  });

  test('ragged rows and empty lines between rows', async () => {
    expect(await said('t,x,y\n1,2,3\n2,3\n3,4,5\n')).toBe(
      'a.csv:3: this row has 2 cells, the header 3. Correct the row; a recording that broke off here ends one line before.\n  2,3',
    );
    expect(await said('t,x\n1,2\n\n3,4\n')).toBe(
      'a.csv:3: there is an empty line between rows of data. Delete it, or split the file there.',
    );
  });

  test('after twenty faults it stops', async () => {
    const text = await said(`t,x\n${'1,\n'.repeat(1000)}`);
    expect(text.split('\n').filter((line) => line.startsWith('a.csv'))).toHaveLength(20);
  });

  test('bad UTF-8, in the names and far down', async () => {
    const latin1 = (text: string) => Buffer.from(text, 'latin1');
    expect(await said(latin1('t,x,Winkel (°)\n1,2,3\n'))).toBe(
      'a.csv:1: this line is not UTF-8 text. Save the file as UTF-8 from the program it came from.',
    );
    const far = `t,x,note\n${'1,2,ok\n'.repeat(400_000)}`;
    expect(await said(latin1(`${far}1,2,fünf\r\n1,2,ok\n`))).toContain(
      'a.csv:400002: this line is not UTF-8 text',
    );
  });

  test('binary files: zero bytes, UTF-16, a spreadsheet', async () => {
    expect(await said(Buffer.from('t,x\n1,\0\n'))).toBe(
      'a.csv: this is not text: it holds a zero byte. Export the recording as CSV, in UTF-8.',
    );
    expect(await said(Buffer.from('\uFEFFt,x\n1,2\n', 'utf16le'))).toBe(
      'a.csv: this file is UTF-16 text. Save it as UTF-8.',
    );
    expect(await said(Buffer.from('PK\x03\x04\x14\0\0\0'))).toBe(
      'a.csv: this is a spreadsheet or archive, not CSV. Export the sheet as CSV, in UTF-8.',
    );
  });

  test('a line over 1 MB, and a quote that is never closed', async () => {
    expect(await said(`t,x\n1,2\n${'9'.repeat(3 << 20)},1\n`)).toBe(
      'a.csv:3: this line is longer than 1 MB. Export one sample a line; if the file is so, look for a quote that is opened and never closed.',
    );
    expect(await said(`t,x\n1,2\n"3,4\n${'5,6\n'.repeat(10)}`)).toContain(
      'a.csv:3: a quote is opened in this row and never closed. Close it, or delete it.',
    );
  });

  test('any bytes are rows or a Fault, never a crash', async () => {
    const pieces = fc.array(
      fc.constantFrom(
        't,x',
        '1',
        ',',
        '\n',
        '\r',
        '"',
        '""',
        '.',
        '-',
        'é',
        ' ',
        ';',
        '#',
        'e',
        '\uFEFF',
        '2,5',
      ),
      { maxLength: 60 },
    );
    await fc.assert(
      fc.asyncProperty(pieces, fc.uint8Array({ maxLength: 4 }), async (text, bytes) => {
        await said(Buffer.concat([Buffer.from(`t,x\n${text.join('')}`), bytes]));
      }),
      { seed: 31, numRuns: 400 },
    );
  });
});

test('cancel in the middle: the reason it was given, and no row after it', async () => {
  const file = path.join(place, 'long.csv');
  writeFileSync(file, `t,x\n${'1,2\n'.repeat(2_000_000)}`);
  const stop = new AbortController();
  let rows = 0;
  const reading = readCsv(
    file,
    'long.csv',
    COMMA,
    ['t', 'x'],
    { row: () => rows++ },
    {
      signal: stop.signal,
      onProgress: (done, total) => done > total / 4 && stop.abort(new Error('stopped')),
    },
  );
  await expect(reading).rejects.toThrow('stopped');
  expect(rows).toBeLessThan(1_000_000);
});

test('progress rises to the size of the file, and every byte passes by once', async () => {
  const text = `t,x\n${'1,2\n'.repeat(1_000_000)}`;
  const file = path.join(place, 'long.csv');
  writeFileSync(file, text);
  const seen: number[] = [];
  let bytes = 0;
  await readCsv(
    file,
    'long.csv',
    COMMA,
    ['t'],
    { row: () => {} },
    {
      onProgress: (done, total) => {
        seen.push(done);
        expect(total).toBe(text.length);
      },
      onBytes: (b) => {
        bytes += b.length;
      },
    },
  );
  expect(seen).toEqual([...seen].sort((a, b) => a - b));
  expect(seen.at(-1)).toBe(text.length);
  expect(bytes).toBe(text.length);
});
