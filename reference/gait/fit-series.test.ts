import { execFileSync } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fitSeries } from './fit-series.ts';

const percent = Array.from({ length: 101 }, (_, i) => i);
const wave = (p: number, k: number) => (2 * Math.PI * k * p) / 100;

test('a series of three harmonics comes back as itself, whatever more is asked for', () => {
  const a = fc.double({ min: -5, max: 5, noNaN: true });
  fc.assert(
    fc.property(fc.array(a, { minLength: 7, maxLength: 7 }), (c) => {
      const y = percent.map((p) =>
        [1, 2, 3].reduce(
          (s, k) => s + c[2 * k - 1]! * Math.cos(wave(p, k)) + c[2 * k]! * Math.sin(wave(p, k)),
          c[0]!,
        ),
      );
      const fit = fitSeries(percent, y, 15);
      // coefficients are printed to six digits
      const near = (x: number, to: number) => Math.abs(x - to) < 1e-5 * (1 + Math.abs(to));
      return (
        near(fit.mean, c[0]!) &&
        [1, 2, 3].every((k) => near(fit.cos[k - 1]!, c[2 * k - 1]!) && near(fit.sin[k - 1]!, c[2 * k]!)) &&
        fit.cos.slice(3).every((x) => Math.abs(x) < 1e-5)
      );
    }),
    { seed: 5, numRuns: 50 },
  );
});

test('an uneven grid is fitted by least squares: the residual is orthogonal to every harmonic kept', () => {
  const p = percent.filter((x) => x % 7 !== 3);
  const y = p.map((x) => Math.exp(-(((x - 40) / 9) ** 2)));
  const fit = fitSeries(p, y, 4);
  const inside = p.filter((x) => x < 100);
  const residual = inside.map((x, i) =>
    fit.cos.reduce(
      (s, a, k) => s - a * Math.cos(wave(x, k + 1)) - fit.sin[k]! * Math.sin(wave(x, k + 1)),
      y[i]! - fit.mean,
    ),
  );
  for (const k of [0, 1, 2, 3, 4]) {
    const dot = residual.reduce((s, r, i) => s + r * Math.cos(wave(inside[i]!, k)), 0);
    expect(Math.abs(dot)).toBeLessThan(1e-4);
  }
  const rms = Math.sqrt(residual.reduce((s, r) => s + r * r, 0) / residual.length);
  expect(fit.rms).toBeCloseTo(rms, 5);
});

test('a curve that does not close by over 3 % of its range gets the difference as drift', () => {
  const sine = (d: number) => percent.map((p) => Math.sin(wave(p, 1)) + (d * p) / 100);
  expect(fitSeries(percent, sine(0.5), 2).drift).toBe(0.5);
  expect(fitSeries(percent, sine(0.01), 2).drift).toBe(0);
});

test('from the command line, with the columns named', () => {
  const file = join(mkdtempSync(join(tmpdir(), 'fit-')), 'table.csv');
  writeFileSync(file, ['pct,m', ...percent.map((p) => `${p},${2 + 3 * Math.cos(wave(p, 2))}`)].join('\n'));
  const run = (...more: string[]) =>
    execFileSync(
      process.execPath,
      ['--import', 'tsx', 'reference/gait/fit-series.ts', file, 'pct', ...more],
      {
        encoding: 'utf8',
        stdio: 'pipe',
        cwd: join(import.meta.dirname, '../..'),
      },
    );
  const fit = JSON.parse(run('m', '2'));
  expect(fit.mean).toBe(2);
  expect(fit.cos[1]).toBe(3);
  expect(() => run('knee')).toThrow('has no column knee; it has pct, m');
});
