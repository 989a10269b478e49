// A controller's log: what it read and what it did, one row a tick. The firmware writes it, `control export` hands one over as test
// vectors, `control replay` runs it again.
//
//   # any lines of words, and among them:
//   # controller: fingerprint of the controller file that ran      (may be left out)
//   # build: fingerprint of the tables that ran                    (may be left out)
//   # period_s: 0.001
//   # states: standing; stance; …        by the numbers of the column `state`
//   thigh_rad,…,ankle_second_rad,knee_torque_Nm,ankle_torque_Nm,phase,state,fault,warning,speed_m_per_s,speed_status,slope_rad,
//   slope_status
//
// CSV with commas and decimal points, UTF-8. Readings are float32 values, nine digits bring them back; one that was no number is an
// empty cell; what came out always is one. `fault` and
// `warning` count from 1 in the controller's own order, 0 is none. More columns may follow and are not read. A log of a leg without second
// encoders, or from before they were read, may lack their columns: they are then no numbers, and the log says which it lacks. So may one
// from before speed or slope came out: it is then not compared.
import { open } from 'node:fs/promises';
import { type ControllerLog, Fault, type RecordedLog } from '@striderule/engine';
import { splitLine } from './csv-header.ts';
import { readCsv } from './csv-stream.ts';

/** Columns of what is read, in the order of the engine's sensors; then of what came out. */
export const READ_COLUMNS = [
  'thigh_rad',
  'thigh_rate_rad_per_s',
  'knee_rad',
  'ankle_rad',
  'load_N',
  'knee_winding_K',
  'ankle_winding_K',
  'bus_V',
  'elapsed_s',
  'release',
  'knee_second_rad',
  'ankle_second_rad',
] as const;
/** Of these, what a log may lack. */
const MAY_LACK: readonly string[] = ['knee_second_rad', 'ankle_second_rad'];
export const OUT_COLUMNS = [
  'knee_torque_Nm',
  'ankle_torque_Nm',
  'phase',
  'state',
  'fault',
  'warning',
  'speed_m_per_s',
  'speed_status',
  'slope_rad',
  'slope_status',
] as const;
/** Of these, what a log from before may lack. */
const OUT_MAY_LACK: readonly string[] = ['speed_m_per_s', 'speed_status', 'slope_rad', 'slope_status'];

/** A log with what its head says of it. */
export interface ReadLog extends ControllerLog {
  readonly period: number;
  readonly controller?: string;
  readonly build?: string;
  /** Columns of readings that it does not have. */
  readonly lacks: readonly string[];
}

/** Bytes in which the head must stand. */
const HEAD = 1 << 16;

/** Reads a log. Faults: no such file, a column missing, a cell of what came out without a number, a head without period or states. */
export async function readControllerLog(file: string, name: string): Promise<ReadLog> {
  const rows: number[] = [];
  const n = READ_COLUMNS.length;
  const { head, names } = await topOf(file);
  const lacks = [...MAY_LACK, ...OUT_MAY_LACK].filter((column) => !names.includes(column));
  const there = READ_COLUMNS.filter((column) => !lacks.includes(column));
  const out = OUT_COLUMNS.filter((column) => !lacks.includes(column));
  const gone = new Array<number>(n - there.length).fill(Number.NaN);
  const goneOut = new Array<number>(OUT_COLUMNS.length - out.length).fill(Number.NaN);
  await readCsv(file, name, { delimiter: ',', decimal: '.' }, [...there, ...out], {
    row: (values) => {
      // what may be lacking stands last of what is read, and last of what came out
      rows.push(...values.subarray(0, there.length), ...gone, ...values.subarray(there.length), ...goneOut);
    },
    tolerates: (values) => values.subarray(there.length).every(Number.isFinite),
  });
  const said = (key: string): string | undefined =>
    new RegExp(`^#\\s*${key}:\\s*(.+?)\\s*$`, 'm').exec(head)?.[1];
  const missing = (key: string, like: string): Fault =>
    new Fault({
      code: 'store.log-head',
      what: `the head of this log has no \`# ${key}:\``,
      mend: `Add a line such as \`# ${key}: ${like}\` above the names of the columns`,
      place: { file: name },
    });
  const period = Number(said('period_s') ?? Number.NaN);
  if (!(period > 0)) throw missing('period_s', '0.001');
  const states = said('states')?.split(/\s*;\s*/);
  if (states === undefined) throw missing('states', 'standing; stance; swing');
  const width = n + OUT_COLUMNS.length;
  const ticks = rows.length / width;
  const column = (k: number): Int32Array =>
    Int32Array.from({ length: ticks }, (_, i) => rows[i * width + k]!);
  const readings = new Float64Array(ticks * n);
  const torque = new Float64Array(ticks * 2);
  for (let i = 0; i < ticks; i++) {
    for (let k = 0; k < n; k++) readings[i * n + k] = Math.fround(rows[i * width + k]!);
    for (let j = 0; j < 2; j++) torque[2 * i + j] = rows[i * width + n + j]!;
  }
  const [controller, build] = [said('controller'), said('build')];
  return {
    period,
    ...(controller !== undefined && { controller }),
    ...(build !== undefined && { build }),
    lacks,
    readings,
    torque,
    phase: Float64Array.from({ length: ticks }, (_, i) => rows[i * width + n + 2]!),
    state: column(n + 3),
    fault: column(n + 4),
    ...(!lacks.includes('speed_m_per_s') && {
      speed: Float64Array.from({ length: ticks }, (_, i) => rows[i * width + n + 6]!),
    }),
    ...(!lacks.includes('slope_rad') && {
      slope: Float64Array.from({ length: ticks }, (_, i) => rows[i * width + n + 8]!),
    }),
    states,
  };
}

/** The lines above the names of the columns, and these; empty where the file cannot be read, which is told by whoever reads it. */
async function topOf(file: string): Promise<{ readonly head: string; readonly names: readonly string[] }> {
  const handle = await open(file, 'r').catch(() => undefined);
  if (handle === undefined) return { head: '', names: [] };
  try {
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(HEAD), 0, HEAD, 0);
    const lines = buffer.toString('utf8', 0, bytesRead).split(/\r?\n|\r/);
    const end = lines.findIndex((line) => !line.startsWith('#') && line.trim() !== '');
    return {
      head: lines.slice(0, end < 0 ? lines.length : end).join('\n'),
      names: end < 0 ? [] : splitLine(lines[end]!, ','),
    };
  } finally {
    await handle.close();
  }
}

/** A log as text: readings in as many digits as a float32 needs, what came out in as many as a double needs. */
export function controllerLogText(
  log: RecordedLog,
  head: readonly string[],
  about: { readonly controller: string; readonly build: string; readonly period: number },
): string {
  const n = READ_COLUMNS.length;
  const lines = [
    ...head.map((line) => `# ${line.replace(/\s+/g, ' ')}`),
    `# controller: ${about.controller}`,
    `# build: ${about.build}`,
    `# period_s: ${Number(Math.fround(about.period).toPrecision(7))}`,
    `# states: ${log.states.join('; ')}`,
    [...READ_COLUMNS, ...OUT_COLUMNS].join(','),
  ];
  for (let k = 0; k < log.phase.length; k++) {
    const read = Array.from(log.readings.subarray(k * n, (k + 1) * n), (x) =>
      Number.isFinite(x) ? String(Number(x.toPrecision(9))) : '',
    );
    const came = [log.torque[2 * k]!, log.torque[2 * k + 1]!, log.phase[k]!];
    const speed = [log.speed[k]!, log.speedStatus[k], log.slope[k]!, log.slopeStatus[k]];
    lines.push([...read, ...came, log.state[k], log.fault[k], log.warning[k], ...speed].join(','));
  }
  return `${lines.join('\n')}\n`;
}
