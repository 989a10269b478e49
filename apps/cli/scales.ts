// Small pictures in text. Stride curves share one axis of 51 columns, 2 % each, so that what stands in one column
// happens at one instant; bars of the ledger share one limit line.

const STEPS = '▁▂▃▄▅▆▇█';
const COLUMNS = 51;

/** A curve of samples over 0–100 %, both ends included, drawn from its least to its greatest value; gaps stay empty. */
export function strideScale(samples: ArrayLike<number>): string {
  const picked = Array.from(
    { length: COLUMNS },
    (_, k) => samples[Math.round((k / (COLUMNS - 1)) * (samples.length - 1))]!,
  );
  const known = picked.filter((value) => Number.isFinite(value));
  const least = Math.min(...known);
  const span = Math.max(...known) - least;
  return picked
    .map((value) => {
      if (!Number.isFinite(value)) return ' ';
      const level = span === 0 ? 3 : Math.round(((value - least) / span) * (STEPS.length - 1));
      return STEPS[level];
    })
    .join('');
}

/** The axis under the curves: a long tick each 10 %, `┃` where stance ends. */
export function strideAxis(stance: number): { readonly ticks: string; readonly numerals: string } {
  const toeOff = Math.round(stance * (COLUMNS - 1));
  const ticks = Array.from({ length: COLUMNS }, (_, k) =>
    k === toeOff ? '┃' : k % 5 === 0 ? '┴' : '─',
  ).join('');
  const numerals = Array.from({ length: 11 }, (_, k) => String(k * 10).padEnd(5))
    .join('')
    .trimEnd();
  return { ticks, numerals: `${numerals} %` };
}

const BAR = 24;
const LIMIT = 16; // column of the limit line: room to show half as much again

/**
 * Asked against allowed as a bar: `━` up to the prediction, `●` there, `╌` over its interval, `│` the limit, `▸` beyond
 * the scale. For "at most" the bar is prediction ÷ bound, for "at least" bound ÷ prediction, so that left of the line
 * is always room.
 */
export function limitBar(
  predicted: number | null,
  bound: { readonly kind: 'at most' | 'at least'; readonly value: number },
  interval: { readonly low: number; readonly high: number } | null,
): string {
  const column = (value: number): number => {
    const use = bound.kind === 'at most' ? value / bound.value : bound.value / value;
    return Math.max(0, Math.round(use * LIMIT));
  };
  const cells = Array<string>(BAR).fill(' ');
  cells[LIMIT] = '│';
  // without bound is not without picture: it fills the bar and goes on beyond
  if (predicted === null || Number.isNaN(column(predicted)) || bound.value <= 0)
    return cells.join('').trimEnd();
  const at = column(predicted);
  for (let k = 0; k < Math.min(at, BAR); k++) cells[k] = k === LIMIT ? '┿' : '━';
  if (interval !== null) {
    const ends = [column(interval.low), column(interval.high)].sort((a, b) => a - b) as [number, number];
    for (let k = Math.max(0, ends[0]); k <= Math.min(ends[1], BAR - 1); k++)
      cells[k] = k === LIMIT ? '┆' : '╌';
  }
  if (at < BAR) cells[at] = '●';
  else cells[BAR - 1] = '▸';
  return cells.join('').trimEnd();
}
