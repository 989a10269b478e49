import { open } from 'node:fs/promises';
import { Fault } from '@striderule/engine';
import { splitLine } from './csv-header.ts';

type Delimiter = ',' | ';' | 'tab';

/** How a CSV seems to be written. A proposal for somebody who sees the first lines beside it: the import itself guesses nothing. */
export interface SeemingLayout {
  readonly delimiter: Delimiter;
  readonly decimal: '.' | ',';
  /** Line of the names, from 1. */
  readonly namesLine: number;
  /** First line of data. */
  readonly dataLine: number;
}

/** The beginning of a CSV, cut into cells. */
export interface CsvPreview {
  readonly layout: SeemingLayout;
  readonly names: readonly string[];
  /** Cells of the first rows of data. */
  readonly rows: readonly (readonly string[])[];
}

/** Bytes that are looked at: names and the first rows of any recording. */
const LOOKED_AT = 64 * 1024;
const ROWS = 5;

const mark = (delimiter: Delimiter): string => (delimiter === 'tab' ? '\t' : delimiter);
const NUMBER = { '.': /^[+-]?\d+(\.\d*)?([eE][+-]?\d+)?$/, ',': /^[+-]?\d+(,\d*)?([eE][+-]?\d+)?$/ } as const;

/**
 * The first names and rows of a CSV. What the caller does not say of the layout is proposed: the delimiter that cuts most
 * cells, the first line below the `#` comments as names, the first line with mostly numbers as data, the decimal mark in which
 * they read. Faults: no such file, not UTF-8 text, an empty file.
 */
export async function previewCsv(
  path: string,
  name: string,
  said: Partial<SeemingLayout> = {},
): Promise<CsvPreview> {
  const lines = await firstLines(path, name);
  const first = lines.findIndex((line) => line.trim() !== '' && !line.startsWith('#'));
  const namesLine = said.namesLine ?? first + 1;
  const header = lines[namesLine - 1] ?? '';
  const delimiter =
    said.delimiter ??
    ([';', 'tab', ','] as const).reduce((most, next) =>
      splitLine(header, mark(next)).length > splitLine(header, mark(most)).length ? next : most,
    );
  const cells = lines.map((line) => splitLine(line, mark(delimiter)));
  const decimal = said.decimal ?? (delimiter === ',' ? '.' : decimalOf(cells.slice(namesLine).flat()));
  const numbers = (row: readonly string[]): number => row.filter((cell) => NUMBER[decimal].test(cell)).length;
  const seeming = cells.findIndex((row, k) => k >= namesLine && 2 * numbers(row) > row.length);
  const dataLine = said.dataLine ?? (seeming < 0 ? namesLine : seeming) + 1;
  return {
    layout: { delimiter, decimal, namesLine, dataLine },
    names: cells[namesLine - 1] ?? [],
    rows: cells.slice(dataLine - 1, dataLine - 1 + ROWS).filter((row) => row.some((cell) => cell !== '')),
  };
}

/** A comma between digits where no cell has a point there. */
function decimalOf(cells: readonly string[]): '.' | ',' {
  const of = (pattern: RegExp): number => cells.filter((cell) => pattern.test(cell)).length;
  return of(/^[+-]?\d+,\d+$/) > of(/^[+-]?\d+\.\d+$/) ? ',' : '.';
}

async function firstLines(path: string, name: string): Promise<string[]> {
  const file = await open(path, 'r');
  let text: string;
  try {
    const bytes = Buffer.alloc(LOOKED_AT);
    const { bytesRead } = await file.read(bytes, 0, LOOKED_AT, 0);
    const whole = bytesRead < LOOKED_AT;
    // of a longer file the last line may be cut, within a letter too
    text = new TextDecoder('utf-8', { fatal: whole }).decode(bytes.subarray(0, bytesRead));
    if (!whole) text = text.slice(0, Math.max(text.lastIndexOf('\n'), text.lastIndexOf('\r')));
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    throw new Fault({
      code: 'store.csv-not-utf8',
      what: 'this file is not UTF-8 text',
      mend: 'Save the file as UTF-8 from the program it came from',
      place: { file: name },
    });
  } finally {
    await file.close();
  }
  if (text.includes('\0')) {
    throw new Fault({
      code: 'store.csv-binary',
      what: 'this is not text: it holds a zero byte',
      mend: 'Export the recording as CSV, in UTF-8',
      place: { file: name },
    });
  }
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
  if (lines.every((line) => line.trim() === '')) {
    throw new Fault({
      code: 'store.csv-empty',
      what: 'this file is empty',
      mend: 'Export the recording again',
      place: { file: name },
    });
  }
  return lines;
}
