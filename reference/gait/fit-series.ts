// Fits the series form of a stride curve to a table of one column over 0–100 % of the stride.
//
//   npx tsx reference/gait/fit-series.ts table.csv pct knee_moment 15
//
// Anybody who holds the table of a publication can redo the coefficients that ship here.
import { readFileSync } from 'node:fs';

export interface SeriesFit {
  readonly mean: number;
  readonly drift: number;
  readonly cos: readonly number[];
  readonly sin: readonly number[];
  /** RMS and largest residual over the table, and its range, in the table's own unit. */
  readonly rms: number;
  readonly largest: number;
  readonly range: number;
}

/** A curve that ends further than this share of its range from where it began is given a drift. */
const DRIFT_FROM = 0.03;

/**
 * Least squares of y(p) = mean + drift·p/100 + Σ cos_k·cos(2πkp/100) + sin_k·sin(2πkp/100) over `percent`.
 * The drift is the plain difference of the two ends where they differ by over 3 % of the range, else 0.
 */
export function fitSeries(
  percent: readonly number[],
  value: readonly number[],
  harmonics: number,
): SeriesFit {
  const last = value.length - 1;
  const range = Math.max(...value) - Math.min(...value);
  const closes = percent[last] !== 100 || Math.abs(value[last]! - value[0]!) <= DRIFT_FROM * range;
  const drift = closes ? 0 : value[last]! - value[0]!;
  const rows: number[][] = [];
  const right: number[] = [];
  percent.forEach((p, i) => {
    if (p >= 100) return;
    const row = [1];
    for (let k = 1; k <= harmonics; k++) {
      row.push(Math.cos((2 * Math.PI * k * p) / 100), Math.sin((2 * Math.PI * k * p) / 100));
    }
    rows.push(row);
    right.push(value[i]! - (drift * p) / 100);
  });
  const c = solveNormal(rows, right);
  const round = (x: number) => Number(x.toPrecision(6));
  const cos = Array.from({ length: harmonics }, (_, k) => round(c[1 + 2 * k]!));
  const sin = Array.from({ length: harmonics }, (_, k) => round(c[2 + 2 * k]!));
  const fit = { mean: round(c[0]!), drift: round(drift), cos, sin };
  const residual = rows.map((row, i) => {
    let y = fit.mean;
    for (let k = 0; k < harmonics; k++) y += cos[k]! * row[1 + 2 * k]! + sin[k]! * row[2 + 2 * k]!;
    return right[i]! - y;
  });
  const rms = Math.sqrt(residual.reduce((s, r) => s + r * r, 0) / residual.length);
  return {
    ...fit,
    rms: round(rms),
    largest: round(Math.max(...residual.map(Math.abs))),
    range: round(range),
  };
}

/** Normal equations by Cholesky; the columns are nearly orthogonal on an even grid, so they are well conditioned. */
function solveNormal(rows: readonly number[][], right: readonly number[]): number[] {
  const n = rows[0]!.length;
  const a = Array.from({ length: n }, (_, i) =>
    Array.from({ length: n }, (_, j) => rows.reduce((s, row) => s + row[i]! * row[j]!, 0)),
  );
  const x = Array.from({ length: n }, (_, i) => rows.reduce((s, row, r) => s + row[i]! * right[r]!, 0));
  for (let j = 0; j < n; j++) {
    for (let k = 0; k < j; k++) for (let i = j; i < n; i++) a[i]![j]! -= a[i]![k]! * a[j]![k]!;
    const pivot = Math.sqrt(a[j]![j]!);
    for (let i = j; i < n; i++) a[i]![j]! /= pivot;
  }
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i]! -= a[i]![k]! * x[k]!;
    x[i]! /= a[i]![i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i]! -= a[k]![i]! * x[k]!;
    x[i]! /= a[i]![i]!;
  }
  return x;
}

if (process.argv[1]?.endsWith('fit-series.ts')) {
  const [path, percentName, valueName, harmonics = '15'] = process.argv.slice(2);
  if (path === undefined || percentName === undefined || valueName === undefined) {
    console.error(
      'Usage: npx tsx reference/gait/fit-series.ts TABLE.csv PERCENT_COLUMN VALUE_COLUMN [HARMONICS]',
    );
    process.exit(2);
  }
  const [head = '', ...lines] = readFileSync(path, 'utf8').trim().split(/\r?\n/);
  const names = head.split(',');
  const column = (name: string) => {
    const at = names.indexOf(name);
    if (at < 0) throw new Error(`${path} has no column ${name}; it has ${names.join(', ')}`);
    return lines.map((line) => Number(line.split(',')[at]));
  };
  console.log(JSON.stringify(fitSeries(column(percentName), column(valueName), Number(harmonics))));
}
