import { closeSync, mkdtempSync, openSync, readFileSync, rmSync, statSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { readCsv } from '../store/csv-stream.ts';
import { inTurnAsync, timingText } from './rounds.ts';

const COLUMNS = ['time', 'stride', 'knee', 'kneeMoment', 'ankle', 'ankleMoment', 'thigh', 'force'];
const ROWS = 300_000;

/** A recording as a laboratory exports one: eight columns, a kilohertz for five minutes. */
function write(file: string): void {
  const out = openSync(file, 'w');
  writeSync(out, `${COLUMNS.join(',')}\n`);
  let lines: string[] = [];
  for (let row = 0; row < ROWS; row++) {
    const phase = (row % 1100) / 1100;
    const values = COLUMNS.slice(2).map((_, k) => (60 * Math.sin(2 * Math.PI * (phase + k / 7))).toFixed(4));
    lines.push(`${(row / 1000).toFixed(3)},${Math.floor(row / 1100)},${values.join(',')}`);
    if (lines.length === 10_000 || row === ROWS - 1) {
      writeSync(out, `${lines.join('\n')}\n`);
      lines = [];
    }
  }
  closeSync(out);
}

/** Sum over every cell, the way one would write it first: the whole text, split at newlines, split at commas. */
function plainSum(file: string): number {
  let sum = 0;
  for (const line of readFileSync(file, 'utf8').split('\n').slice(1)) {
    if (line !== '') for (const cell of line.split(',')) sum += Number(cell);
  }
  return sum;
}

async function streamedSum(file: string): Promise<number> {
  let sum = 0;
  const row = (values: Float64Array): void => {
    for (let k = 0; k < values.length; k++) sum += values[k]!;
  };
  await readCsv(file, path.basename(file), { delimiter: ',', decimal: '.' }, COLUMNS, { row });
  return sum;
}

/** The streamed reader of recordings beside the plain one, on the same file, with the same sum. */
export async function csvTime(): Promise<string> {
  const folder = mkdtempSync(path.join(tmpdir(), 'striderule-csv-'));
  const file = path.join(folder, 'recording.csv');
  try {
    write(file);
    const [ours, theirs] = [await streamedSum(file), plainSum(file)];
    if (ours !== theirs) throw new Error(`streamed ${ours}, plain ${theirs}`);
    const { streamed, plain } = await inTurnAsync(
      { streamed: () => streamedSum(file), plain: async () => plainSum(file) },
      { rounds: 7, warmUp: 2 },
    );
    const megabytes = statSync(file).size / 1e6;
    const rate = (median: number): string => `${((megabytes / median) * 1000).toFixed(0)} MB/s`;
    return [
      `Reading a recording of ${ROWS} rows, ${megabytes.toFixed(0)} MB`,
      `  streamed, checked    ${timingText(streamed)}   ${rate(streamed.median)}`,
      `  whole text, split    ${timingText(plain)}   ${rate(plain.median)}, unchecked`,
      `  plain ÷ streamed     ${(plain.median / streamed.median).toFixed(2)}   same sum to the last bit`,
    ].join('\n');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
