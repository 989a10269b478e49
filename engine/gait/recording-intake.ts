import { Fault, type FaultData } from '../quantity/fault.ts';
import { averageStrides } from './average-strides.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import type { Recipe } from './recipe.ts';
import { type Channel, columnName, recordingChannels } from './recording-channels.ts';
import { STRIDE_TIME } from './recording-units.ts';
import { resampleStride } from './resample.ts';
import { harmonicsWithin } from './smooth-periodic.ts';

/** Rows that one stride may hold: 100 s at 1 kHz. More is no stride, and memory must stay bounded. Our choice. */
const MOST_ROWS = 100_000;
/** A hole between two rows, per cent of the stride, over which a spline would invent data. Our choice. */
const LARGEST_HOLE = 5;
/** Faults after which reading on would only repeat them. */
const MOST_FAULTS = 20;
/** How far from 0 and 100 a per cent column may begin and end: rounding of the file, not a missing row. */
const END_ROUNDING = 0.01;

/** What was averaged: SI per body mass, engine signs, at every half per cent. */
export interface AveragedStrides {
  readonly channels: readonly Channel[];
  readonly count: number;
  readonly mean: readonly Float64Array[];
  /** Between strides, sample deviation; NaN for a single stride. */
  readonly deviation: readonly Float64Array[];
  /** s; `least` and `greatest` with the number of their stride. */
  readonly strideTime: {
    readonly mean: number;
    readonly deviation: number;
    readonly least: number;
    readonly leastStride: number;
    readonly greatest: number;
    readonly greatestStride: number;
  };
  /** Fewest rows of a stride. */
  readonly fewestRows: number;
  readonly notes: readonly string[];
}

/** Takes rows one by one, averages stride by stride; holds one stride in memory. */
export interface RecordingIntake {
  /** Columns of a row, in the order in which `row` wants their numbers. */
  readonly columns: readonly (string | number)[];
  /** Numbers as they stand in the file; `line` counts from 1. The array may be reused by the caller. */
  readonly row: (values: ArrayLike<number>, line: number) => void;
  /** May this row lack numbers, since it belongs to a stride that is left out? */
  readonly tolerates: (values: ArrayLike<number>) => boolean;
  /** What was found so far, for a reader that must stop. */
  readonly faults: readonly FaultData[];
  /** Throws every fault found on the way. */
  readonly end: () => AveragedStrides;
}

export function openIntake(recipe: Recipe): RecordingIntake {
  const channels = recordingChannels(recipe);
  const clock = (recipe.percent ?? recipe.time?.column) as string | number;
  const perCent = recipe.percent !== undefined;
  const clockFactor = recipe.time?.unit === 'ms' ? 1e-3 : 1;
  const numbered = recipe.stride !== undefined;
  const columns = [
    clock,
    ...(recipe.stride === undefined ? [] : [recipe.stride]),
    ...channels.map((c) => c.column),
  ];
  const first = numbered ? 2 : 1;
  const leftOut = new Set(recipe.leaveOut.map(({ stride }) => stride));
  const average = averageStrides(channels.length, STRIDE_SAMPLES);
  const times = averageStrides(1, 1);
  const faults: FaultData[] = [];
  const notes: string[] = [];
  let least = Number.POSITIVE_INFINITY;
  let leastStride = 0;
  let greatest = 0;
  let greatestStride = 0;
  let fewestRows = Number.POSITIVE_INFINITY;
  // the stride that is being read
  let capacity = 512;
  let buffer = columns.map(() => new Float64Array(capacity));
  let rows = 0;
  let strideNumber = Number.NaN;
  let firstLine = 0;
  let spoilt = false;
  let anyRow = false;

  const fault = (code: string, what: string, mend: string, line: number, column = clock) => {
    faults.push({
      code: `gait.recording-${code}`,
      what,
      mend,
      place: { line, path: `column ${columnName(column)}` },
    });
    spoilt = true;
    if (faults.length >= MOST_FAULTS) throw new Fault(faults);
  };
  // the first row of a left-out stride still closes the one before
  const closes = (values: ArrayLike<number>) =>
    recipe.strideEnds === 'next row' && rows > 0 && values[1] !== strideNumber && !leftOut.has(strideNumber);
  const tolerates = (values: ArrayLike<number>) => numbered && leftOut.has(values[1]) && !closes(values);
  const called = () => (numbered ? `stride ${strideNumber}` : 'the stride');

  function grow() {
    capacity *= 2;
    buffer = buffer.map((old) => {
      const wider = new Float64Array(capacity);
      wider.set(old);
      return wider;
    });
  }

  function keep(values: ArrayLike<number>) {
    if (rows === capacity) grow();
    for (let c = 0; c < columns.length; c++) buffer[c][rows] = values[c];
    rows++;
  }

  function closeStride() {
    if (rows === 0 || spoilt || leftOut.has(strideNumber)) return;
    const from = buffer[0][0];
    const to = buffer[0][rows - 1];
    const duration = perCent ? (recipe.strideTime as number) : (to - from) * clockFactor;
    // an impossible stride time is told as such, at the end, not as missing rows
    const believed = Math.min(duration, STRIDE_TIME[1]);
    const needed = Math.max(4, 2 * harmonicsWithin(recipe.cutOff, believed) + 2);
    if (rows < needed) {
      const empty = rows <= 1;
      fault(
        empty ? 'empty-stride' : 'too-few-rows',
        empty
          ? `${called()} has ${rows} row`
          : `${called()} has ${rows} rows, a cut-off of ${recipe.cutOff} Hz needs ${needed}`,
        empty ? 'Delete it, or name it under `leaveOut:`' : 'Record faster, or lower `cutOff:`',
        firstLine,
      );
      return;
    }
    if (perCent && (Math.abs(from) > END_ROUNDING || Math.abs(to - 100) > END_ROUNDING)) {
      const share = to <= 1.0001 && to > 0.9;
      fault(
        'percent-ends',
        `${called()} runs from ${from} to ${to} % instead of 0 to 100`,
        share
          ? 'Give the column in per cent'
          : 'Add the missing rows: 100 % is the initial contact that ends the stride',
        firstLine,
      );
      return;
    }
    const clockColumn = buffer[0];
    const percent = new Float64Array(rows);
    for (let i = 0; i < rows; i++) percent[i] = (100 * (clockColumn[i] - from)) / (to - from);
    for (let i = 1; i < rows; i++) {
      if (percent[i] - percent[i - 1] <= LARGEST_HOLE + 1e-9) continue;
      fault(
        'hole',
        `${called()} has no row between ${percent[i - 1].toFixed(1)} and ${percent[i].toFixed(1)} %`,
        `Rows may be ${LARGEST_HOLE} % apart at most: restore them, or name the stride under \`leaveOut:\``,
        firstLine + i,
      );
      return;
    }
    average.add(
      channels.map(({ factor }, c) => {
        const curve = resampleStride(percent, buffer[first + c].subarray(0, rows));
        for (let i = 0; i < curve.length; i++) curve[i] *= factor;
        return curve;
      }),
    );
    times.add([[duration]]);
    fewestRows = Math.min(fewestRows, rows);
    if (duration < least) [least, leastStride] = [duration, strideNumber];
    if (duration > greatest) [greatest, greatestStride] = [duration, strideNumber];
  }

  function nextStride(values: ArrayLike<number>, line: number) {
    const number = values[1];
    if (closes(values) && !spoilt) {
      const step = rows > 1 ? buffer[0][rows - 1] - buffer[0][rows - 2] : Number.POSITIVE_INFINITY;
      const away = values[0] - buffer[0][rows - 1];
      if (perCent || !(away > 0 && away <= 1.5 * step)) {
        fault(
          'not-closed',
          `${called()} ends at ${buffer[0][rows - 1]} and stride ${number} begins at ${values[0]}: its 100 % was not recorded`,
          'If each stride brings its own last row write `strideEnds: last row`; else name it under `leaveOut:`',
          line,
        );
      } else {
        keep(values);
        closeStride();
      }
    } else closeStride();
    rows = 0;
    spoilt = false;
    strideNumber = number;
    firstLine = line;
  }

  return {
    columns,
    tolerates,
    faults,
    row(values, line) {
      anyRow = true;
      const holes = tolerates(values);
      for (let c = 0; c < columns.length; c++) {
        if (holes || Number.isFinite(values[c])) continue;
        fault(
          'not-a-number',
          `there is no number in column ${columnName(columns[c])}`,
          numbered
            ? 'Restore it, or name its stride under `leaveOut:`; nothing is filled in'
            : 'Restore it; nothing is filled in',
          line,
          columns[c],
        );
      }
      if (!numbered) {
        if (rows === 0) firstLine = line;
      } else if (values[1] !== strideNumber) nextStride(values, line);
      if (rows > 0 && !leftOut.has(strideNumber)) {
        const before = buffer[0][rows - 1];
        if (!(values[0] > before) && !spoilt) {
          const what = perCent ? 'per cent' : 'time';
          const many = !numbered && values[0] <= buffer[0][0];
          fault(
            values[0] === before ? 'time-repeats' : 'time-goes-back',
            values[0] === before
              ? `${what} ${before} stands twice`
              : `${what} falls from ${before} to ${values[0]}`,
            many
              ? 'The file seems to hold several strides: name the column that numbers them with `stride:`'
              : 'Split the file where the recorder restarted, or sort its rows',
            line,
          );
        }
        if (rows >= MOST_ROWS && !spoilt) {
          fault(
            'long-stride',
            `${called()} has more than ${MOST_ROWS} rows`,
            'Name the column that numbers the strides with `stride:`',
            line,
          );
        }
      }
      if (rows < MOST_ROWS) keep(values);
    },
    end() {
      if (!anyRow) {
        throw new Fault({
          code: 'gait.recording-empty',
          what: 'The recording has no row of data',
          mend: 'Check that the file was exported whole, and `dataLine:` of the recipe',
        });
      }
      if (numbered && recipe.strideEnds === 'next row' && !leftOut.has(strideNumber)) {
        notes.push(`The last stride, ${strideNumber}, is left out: no row closes it.`);
      } else closeStride();
      for (const { stride, because } of recipe.leaveOut)
        notes.push(`Stride ${stride} is left out: ${because}`);
      if (faults.length > 0) throw new Fault(faults);
      if (average.count() === 0) {
        throw new Fault({
          code: 'gait.recording-no-stride',
          what: 'The recording has no whole stride',
          mend: numbered
            ? 'If each stride brings its own last row write `strideEnds: last row` in the recipe'
            : 'Check the file and the recipe',
        });
      }
      return {
        channels,
        count: average.count(),
        mean: average.mean(),
        deviation: average.deviation(),
        strideTime: {
          mean: times.mean()[0][0],
          deviation: times.deviation()[0][0],
          least,
          leastStride,
          greatest,
          greatestStride,
        },
        fewestRows,
        notes,
      };
    },
  };
}
