import { isUtf8 } from 'node:buffer';
import { Fault, type FaultData, type FaultPlace } from '@striderule/engine';
import { cellFault } from './csv-cell.ts';
import { mapColumns, splitLine } from './csv-header.ts';
import type { CsvLayout, CsvRows } from './csv-layout.ts';
import { parseNumber } from './csv-number.ts';

/** Bytes; more is no line of samples. */
export const LONGEST_LINE = 1 << 20;
/** Bytes of a line that a fault shows. */
const LONGEST_EXCERPT = 160;
/** Faults after which reading on would only repeat them. */
const MOST_FAULTS = 20;
const [LF, CR, QUOTE, HASH] = [10, 13, 34, 35];

/** Reads a file that comes in pieces. */
export interface CsvParser {
  /** Reads whole lines from the start of the buffer to `end`; bytes from `fresh` on are new. Gives how many are used up. */
  readonly push: (b: Buffer, fresh: number, end: number, last: boolean) => number;
  readonly tooLong: () => never;
  readonly end: () => void;
}

/** The parser of one file. Faults are collected, at most MOST_FAULTS, unless reading on makes no sense. */
export function csvParser(
  name: string,
  layout: CsvLayout,
  columns: readonly (string | number)[],
  rows: CsvRows,
): CsvParser {
  const delimiter = layout.delimiter.charCodeAt(0);
  const point = layout.decimal.charCodeAt(0);
  // 1 for the bytes at which something happens, 0 for the rest of a cell
  const stops = new Uint8Array(256);
  for (const c of [delimiter, LF, CR]) stops[c] = 1;
  const values = new Float64Array(columns.length);
  const faults: FaultData[] = [];
  let wanted: Int32Array | null = null;
  let names: readonly string[] = [];
  let line = 0;
  let dataLine = layout.dataLine ?? Number.NaN;
  let emptyLine = 0;
  let anyRow = false;
  let started = false;

  const stop = (code: string, what: string, mend: string, place: FaultPlace): never => {
    throw new Fault([...faults, faultOf(code, what, mend, place)]);
  };
  const faultOf = (code: string, what: string, mend: string, place: FaultPlace): FaultData => ({
    code: `store.csv-${code}`,
    what,
    mend,
    place: { file: name, ...place },
  });
  const add = (fault: FaultData) => {
    faults.push(fault);
    if (faults.length >= MOST_FAULTS) throw new Fault(faults);
  };
  const tooLong = () =>
    stop(
      'line-too-long',
      `this line is longer than ${LONGEST_LINE / 2 ** 20} MB`,
      'Export one sample a line; if the file is so, look for a quote that is opened and never closed',
      { line: line + 1 },
    );

  function excerptOf(b: Buffer, from: number, to: number): { excerpt?: string } {
    return to - from <= LONGEST_EXCERPT ? { excerpt: b.toString('utf8', from, to) } : {};
  }

  function header(b: Buffer, from: number, to: number) {
    const given = layout.namesLine;
    if (given === undefined ? to === from || b[from] === HASH : line < (given || (layout.dataLine ?? 1)))
      return;
    if (!isUtf8(b.subarray(from, to))) notUtf8(b, from, to, line);
    const text = b.toString('utf8', from, to);
    names = splitLine(text, layout.delimiter);
    if (given === 0) names = names.map((_, i) => `column ${i + 1}`);
    const mapped = mapColumns(names, columns, layout.delimiter, text, { file: name, line });
    if (mapped.faults.length > 0) throw new Fault(mapped.faults);
    wanted = mapped.wanted;
    if (Number.isNaN(dataLine)) dataLine = given === 0 ? line : line + 1;
  }

  function blank(b: Buffer, from: number, to: number): boolean {
    for (let i = from; i < to; i++) if (b[i] !== delimiter && b[i]! > 32) return false;
    return true;
  }

  function ragged(b: Buffer, from: number, to: number, cells: number) {
    const commas = layout.delimiter === ',' && cells > names.length;
    const only = cells === 1 && names.length > 1 && to - from < 3;
    add(
      faultOf(
        'ragged-row',
        `this row has ${cells} ${cells === 1 ? 'cell' : 'cells'}, the header ${names.length}`,
        commas
          ? 'Correct the row; numbers with decimal commas cannot be delimited by commas: export them with `;`'
          : only
            ? 'Delete this line'
            : 'Correct the row; a recording that broke off here ends one line before',
        { line, ...excerptOf(b, from, to) },
      ),
    );
  }

  function notUtf8(b: Buffer, from: number, to: number, firstLine: number): never {
    let at = firstLine;
    let start = from;
    while (start < to) {
      let end = start;
      while (end < to && b[end] !== LF && b[end] !== CR) end++;
      if (!isUtf8(b.subarray(start, end))) break;
      start = b[end] === CR && b[end + 1] === LF ? end + 2 : end + 1;
      at++;
    }
    return stop(
      'not-utf8',
      'this line is not UTF-8 text',
      'Save the file as UTF-8 from the program it came from',
      {
        line: at,
      },
    );
  }

  /** One row of data at `from`; gives where its line ends, or −1 if the buffer ends first. */
  function row(b: Buffer, from: number, end: number, last: boolean): number {
    const map = wanted as Int32Array;
    const width = map.length;
    let cell = 0;
    let at = from;
    let i = from;
    let inside = 0; // line ends inside quotes
    let bad: { cell: number; from: number; to: number }[] | null = null;
    for (;;) {
      let [a, z] = [at, 0];
      if (b[i] === QUOTE) {
        a = i + 1;
        for (;;) {
          const close = b.indexOf(QUOTE, i + 1);
          if (close < 0 || close >= end) {
            if (!last) return -1;
            stop('open-quote', 'a quote is opened in this row and never closed', 'Close it, or delete it', {
              line,
              ...excerptOf(b, from, Math.min(end, from + LONGEST_EXCERPT)),
            });
          }
          i = close + 1;
          if (b[i] !== QUOTE) break;
        }
        z = i - 1;
        for (let k = a; k < z; k++) if (b[k] === LF || (b[k] === CR && b[k + 1] !== LF)) inside++;
      }
      while (stops[b[i]!] === 0) i++;
      if (z === 0) z = i;
      // the stop that stands behind the last byte
      const over = i >= end;
      if (over && !last) return -1;
      if (cell < width && map[cell]! >= 0) {
        const x = parseNumber(b, a, z, point);
        values[map[cell]!] = x;
        // infinite or not a number
        if (x - x !== 0) {
          bad ??= [];
          bad.push({ cell, from: a, to: z });
        }
      }
      cell++;
      if (over || b[i] !== delimiter) break;
      i++;
      at = i;
    }
    let next = i + 1;
    if (i < end && b[i] === CR) {
      if (i + 1 === end && !last) return -1;
      if (i + 1 < end && b[i + 1] === LF) next++;
    }
    // delimiters alone are an empty line too: spreadsheets end their exports so
    if (i === from || (bad !== null && blank(b, from, i))) {
      if (emptyLine === 0) emptyLine = line;
      return next;
    }
    if (emptyLine > 0) {
      add(
        faultOf(
          'empty-line',
          'there is an empty line between rows of data',
          'Delete it, or split the file there',
          {
            line: emptyLine,
          },
        ),
      );
      emptyLine = 0;
    }
    anyRow = true;
    if (cell !== width) ragged(b, from, i, cell);
    else {
      if (bad !== null && !rows.tolerates?.(values)) {
        for (const spot of bad) {
          const column = b.toString('utf8', from, spot.from).length + 1;
          const path = `column \`${names[spot.cell]}\``;
          const place = { file: name, line, column, path, ...excerptOf(b, from, i) };
          add(cellFault(b.toString('utf8', spot.from, spot.to).trim(), layout.decimal, place));
        }
      }
      if (faults.length === 0) rows.row(values, line);
    }
    line += inside;
    return next;
  }

  return {
    push(b, fresh, end, last) {
      const zero = b.subarray(fresh, end).indexOf(0);
      let from = 0;
      if (!started && (end > 3 || last)) {
        started = true;
        const [p, q, r] = b;
        if ((p === 0xff && q === 0xfe) || (p === 0xfe && q === 0xff)) {
          stop('utf16', 'this file is UTF-16 text', 'Save it as UTF-8', {});
        }
        if (p === 0x50 && q === 0x4b && zero >= 0) {
          stop(
            'binary',
            'this is a spreadsheet or archive, not CSV',
            'Export the sheet as CSV, in UTF-8',
            {},
          );
        }
        if (p === 0xef && q === 0xbb && r === 0xbf) from = 3;
      }
      if (zero >= 0) {
        stop('binary', 'this is not text: it holds a zero byte', 'Export the recording as CSV, in UTF-8', {});
      }
      if (!started) return 0;
      const first = from;
      const firstLine = line + 1;
      b[end] = LF;
      while (from < end) {
        if (wanted !== null && line + 1 >= dataLine) {
          line++;
          const next = row(b, from, end, last);
          if (next < 0) {
            line--;
            break;
          }
          from = next;
          continue;
        }
        let i = from;
        while (b[i] !== LF && b[i] !== CR) i++;
        if (!last && (i >= end || (b[i] === CR && i + 1 === end))) break;
        line++;
        if (wanted === null) header(b, from, Math.min(i, end));
        // without names the first line of data is both counted and read
        if (layout.namesLine === 0 && wanted !== null && line >= dataLine) line--;
        else from = b[i] === CR && i + 1 < end && b[i + 1] === LF ? i + 2 : i + 1;
      }
      const used = Math.min(from, end);
      if (!isUtf8(b.subarray(first, used))) notUtf8(b, first, used, firstLine);
      return used;
    },
    tooLong,
    end() {
      if (wanted === null) {
        const empty = line === 0;
        stop(
          empty ? 'empty' : 'no-names',
          empty ? 'this file is empty' : `there is no line of column names among ${line} lines`,
          empty ? 'Export the recording again' : 'Correct `namesLine:` of the recipe',
          {},
        );
      }
      if (faults.length > 0) throw new Fault(faults);
      if (!anyRow) {
        stop(
          'no-rows',
          'there is no row of data after the names',
          'Export the recording again, or correct `dataLine:`',
          {
            line,
          },
        );
      }
    },
  };
}
