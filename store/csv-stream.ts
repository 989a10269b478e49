// Streamed CSV: any size, one pass, only the columns asked for; memory is one buffer, whatever the file.
//
// Format read: UTF-8 with or without a byte-order mark; lines end with LF, CR LF or CR, mixed or not; delimiter and decimal
// mark as the caller says, never guessed. The names stand in the first line that is neither empty nor a `#` comment, unless
// another line is given. A cell may be quoted and then hold delimiters and line ends. Every row has as many cells as the header.
// Only the wanted cells are read as numbers; the others are skipped byte by byte.

import { type FileHandle, open } from 'node:fs/promises';
import { Fault } from '@striderule/engine';
import type { CsvLayout, CsvRows } from './csv-layout.ts';
import { type CsvParser, csvParser, LONGEST_LINE } from './csv-rows.ts';

export interface CsvWork {
  readonly signal?: AbortSignal;
  /** Bytes read, and how many there are. */
  readonly onProgress?: (done: number, total: number) => void;
  /** Every byte of the file in turn, as it was read; the array is used again afterwards. */
  readonly onBytes?: (bytes: Uint8Array) => void | Promise<void>;
}

const CHUNK = 1 << 20;

/** Reads the named columns of every row. Throws one Fault with every fault found, each with line and column. */
export async function readCsv(
  path: string,
  name: string,
  layout: CsvLayout,
  columns: readonly (string | number)[],
  rows: CsvRows,
  work: CsvWork = {},
): Promise<void> {
  const file = await open(path, 'r').catch((error: NodeJS.ErrnoException) => {
    const none = error.code === 'ENOENT';
    throw new Fault({
      code: 'store.csv-cannot-read',
      what: none ? 'there is no such file' : `this file cannot be read (${error.code ?? error.message})`,
      mend: none ? 'Correct its name' : 'Give yourself permission to read it',
      place: { file: name },
    });
  });
  try {
    await pump(file, name, csvParser(name, layout, columns, rows), work);
  } finally {
    await file.close();
  }
}

async function pump(file: FileHandle, name: string, parser: CsvParser, work: CsvWork): Promise<void> {
  const { signal, onProgress, onBytes } = work;
  const stat = await file.stat();
  if (!stat.isFile()) {
    throw new Fault({
      code: 'store.csv-cannot-read',
      what: 'this is not a file',
      mend: 'Name a CSV file',
      place: { file: name },
    });
  }
  // one byte more, where the parser sets a stop
  const buffer = Buffer.allocUnsafe(LONGEST_LINE + CHUNK + 1);
  let kept = 0;
  let done = 0;
  for (;;) {
    signal?.throwIfAborted();
    const { bytesRead } = await file.read(buffer, kept, CHUNK);
    if (bytesRead > 0) await onBytes?.(buffer.subarray(kept, kept + bytesRead));
    const end = kept + bytesRead;
    const used = parser.push(buffer, kept, end, bytesRead === 0);
    if (bytesRead === 0) break;
    buffer.copyWithin(0, used, end);
    kept = end - used;
    if (kept > LONGEST_LINE) parser.tooLong();
    done += bytesRead;
    onProgress?.(done, stat.size);
  }
  signal?.throwIfAborted();
  parser.end();
}
