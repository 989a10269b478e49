// Streamed CSV: any size, one pass, only the columns asked for, memory bounded by one chunk and one line.
// The header is the first line that is not a comment (#) or empty. Numbers take the fast path of exact decimal conversion
// (at most 15 digits and a power of ten up to 22: Clinger, PLDI 1990); anything else goes to the language's own parser.
import { createReadStream, statSync } from 'node:fs';
import { Fault, type FaultPlace, nearestName } from '@striderule/engine';

export interface CsvFormat {
  readonly delimiter: ',' | ';' | '\t';
  readonly decimal: '.' | ',';
}

export interface CsvWork {
  readonly signal?: AbortSignal;
  readonly onProgress?: (done: number, total: number) => void;
}

const LONGEST_LINE = 1 << 20;
const CHUNK = 1 << 20;
const [LF, CR, QUOTE, HASH] = [10, 13, 34, 35];
const POWERS = Float64Array.from({ length: 23 }, (_, i) => 10 ** i);

/** A number between two bytes of a buffer; NaN where it is none. `point` is the byte of the decimal mark. */
export function parseNumber(b: Buffer, from: number, to: number, point: number): number {
  let i = from;
  while (i < to && b[i]! <= 32) i++;
  let end = to;
  while (end > i && b[end - 1]! <= 32) end--;
  if (i === end) return Number.NaN;
  const start = i;
  let negative = false;
  if (b[i] === 45 || b[i] === 43) negative = b[i++] === 45;
  let mantissa = 0;
  let digits = 0;
  let scale = 0;
  let seen = 0;
  let fraction = false;
  for (; i < end; i++) {
    const c = b[i]! - 48;
    if (c >= 0 && c <= 9) {
      seen++;
      if (digits > 0 || c > 0) digits++;
      mantissa = mantissa * 10 + c;
      if (fraction) scale--;
    } else if (b[i] === point && !fraction) fraction = true;
    else break;
  }
  if (seen > 0 && i < end && (b[i]! | 32) === 101) {
    i++;
    let sign = 1;
    if (b[i] === 45 || b[i] === 43) sign = b[i++] === 45 ? -1 : 1;
    let exponent = 0;
    const first = i;
    for (; i < end && b[i]! >= 48 && b[i]! <= 57; i++) exponent = exponent * 10 + b[i]! - 48;
    if (i === first) return Number.NaN;
    scale += sign * exponent;
  }
  if (seen === 0 || i !== end) return Number.NaN;
  if (digits <= 15 && scale >= -22 && scale <= 22) {
    const value = scale < 0 ? mantissa / POWERS[-scale]! : mantissa * POWERS[scale]!;
    return negative ? -value : value;
  }
  const text = b.toString('latin1', start, end);
  return Number(point === 44 ? text.replace(',', '.') : text);
}

const splitLine = (line: string, delimiter: string): string[] => {
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < line.length; i++) {
    const c = line[i]!;
    if (c === '"') {
      if (quoted && line[i + 1] === '"') cell += line[++i];
      else quoted = !quoted;
    } else if (c === delimiter && !quoted) {
      cells.push(cell);
      cell = '';
    } else cell += c;
  }
  cells.push(cell);
  return cells.map((x) => x.trim());
};

/**
 * Reads the named columns of every row. `onRow` gets their values, in the order asked, and the line's number; the array is used
 * again for the next row. Faults, each with line and column: missing or doubled column, a cell that is no number, a short row, a
 * file that is not text, a line over 1 MB. A cell that is empty or NaN is a fault, never a gap closed in silence.
 */
export async function readCsv(
  path: string,
  name: string,
  format: CsvFormat,
  columns: readonly string[],
  onRow: (values: Float64Array, line: number) => void,
  { signal, onProgress }: CsvWork = {},
): Promise<void> {
  const total = statSync(path).size;
  const delimiter = format.delimiter.charCodeAt(0);
  const point = format.decimal.charCodeAt(0);
  const values = new Float64Array(columns.length);
  /** Which wanted value a cell of the file fills, by the cell's number; −1 none. */
  let wanted: Int32Array | null = null;
  let head: string[] = [];
  let lineNumber = 0;
  let done = 0;
  let rest: Buffer<ArrayBufferLike> | null = null;

  const fault = (code: string, what: string, mend: string, place: FaultPlace): never => {
    throw new Fault({ code: `store.csv-${code}`, what, mend, place: { file: name, ...place } });
  };
  const excerptOf = (b: Buffer, from: number, to: number) =>
    b.toString('utf8', from, Math.min(to, from + 120));

  const header = (line: string) => {
    head = splitLine(line.replace(/^\uFEFF/, ''), format.delimiter);
    const place = { line: lineNumber, column: 1, excerpt: line.slice(0, 120) };
    wanted = new Int32Array(head.length).fill(-1);
    columns.forEach((column, i) => {
      const at = head.indexOf(column);
      if (at < 0) {
        const near = nearestName(column, head);
        const other = [',', ';', '\t'].find(
          (d) => d !== format.delimiter && splitLine(line, d).includes(column),
        );
        const mend =
          other !== undefined
            ? `Set \`delimiter: ${other === '\t' ? 'tab' : `"${other}"`}\` in the recipe`
            : near !== undefined
              ? `Did you mean \`${near}\`?`
              : `The columns are: ${head.join(', ')}`;
        fault('column', `there is no column \`${column}\``, mend, place);
      }
      if (head.lastIndexOf(column) !== at)
        fault('column', `column \`${column}\` stands twice`, 'Rename one of them', place);
      wanted![at] = i;
    });
  };

  const bad = (
    b: Buffer,
    from: number,
    to: number,
    cellFrom: number,
    cellTo: number,
    cell: number,
  ): never => {
    const text = b.toString('utf8', cellFrom, cellTo).trim();
    const place = {
      line: lineNumber,
      column: cellFrom - from + 1,
      path: head[cell] ?? '',
      excerpt: excerptOf(b, from, to),
    };
    if (text === '' || /^(nan|na|null|inf(inity)?|-)$/i.test(text)) {
      return fault(
        'missing-value',
        text === '' ? 'this cell is empty' : `this cell is \`${text}\``,
        'Fill the gap where it was recorded, or leave these strides out of the file',
        place,
      );
    }
    if (format.decimal === '.' && /^[+-]?\d+,\d+$/.test(text))
      return fault(
        'decimal-comma',
        `\`${text}\` has a decimal comma`,
        'Set `decimal: ","` in the recipe',
        place,
      );
    return fault(
      'not-a-number',
      `\`${text}\` is not a number`,
      'Correct the cell, or name another column',
      place,
    );
  };

  const row = (b: Buffer, from: number, to: number) => {
    const map = wanted!;
    let cell = 0;
    let at = from;
    for (let i = from; i <= to; i++) {
      if (i < to && b[i] !== delimiter) continue;
      if (cell < map.length && map[cell]! >= 0) {
        let [a, z] = [at, i];
        if (b[a] === QUOTE && b[z - 1] === QUOTE) [a, z] = [a + 1, z - 1];
        const x = parseNumber(b, a, z, point);
        if (x - x !== 0) bad(b, from, to, at, i, cell);
        values[map[cell]!] = x;
      }
      cell++;
      at = i + 1;
    }
    if (cell !== map.length) {
      const decimalComma = format.delimiter === ',' && cell > map.length;
      fault(
        'ragged',
        `this row has ${cell} cells, the header ${map.length}`,
        decimalComma
          ? 'If the file has decimal commas, its delimiter cannot be a comma too: export it with `;`'
          : 'Complete the row',
        {
          line: lineNumber,
          column: 1,
          excerpt: excerptOf(b, from, to),
        },
      );
    }
    onRow(values, lineNumber);
  };

  const oneLine = (b: Buffer, from: number, end: number) => {
    lineNumber++;
    const to = end > from && b[end - 1] === CR ? end - 1 : end;
    if (to === from) return;
    if (wanted === null) {
      if (b[from] !== HASH) header(b.toString('utf8', from, to));
    } else row(b, from, to);
  };

  for await (const chunk of createReadStream(path, { highWaterMark: CHUNK }) as AsyncIterable<Buffer>) {
    signal?.throwIfAborted();
    const b: Buffer<ArrayBufferLike> = rest === null ? chunk : Buffer.concat([rest, chunk]);
    const zero = chunk.indexOf(0);
    if (zero >= 0)
      fault('binary', 'this is not text: it holds a zero byte', 'Export the recording as CSV, in UTF-8', {
        line: lineNumber + 1,
      });
    let from = 0;
    for (;;) {
      const end = b.indexOf(LF, from);
      if (end < 0) break;
      oneLine(b, from, end);
      from = end + 1;
    }
    rest = from < b.length ? b.subarray(from) : null;
    if (rest !== null && rest.length > LONGEST_LINE)
      fault('line-too-long', 'a line is longer than 1 MB', 'Export with one sample a line', {
        line: lineNumber + 1,
      });
    done += chunk.length;
    onProgress?.(done, total);
  }
  if (rest !== null) oneLine(rest, 0, rest.length);
  if (wanted === null)
    fault('empty', 'the file has no header', 'Give it a first line with the names of the columns', {
      line: 1,
    });
}
