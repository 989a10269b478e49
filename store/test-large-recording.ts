import { execFile } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { RECORDING_RECIPE, writeRecording } from './test-write-recording.ts';

/** A study and a large recording for it, in a temporary folder. */
export interface Large {
  readonly study: string;
  readonly csv: string;
  readonly recipe: string;
  readonly strides: number;
  readonly bytes: number;
  readonly remove: () => void;
}

export function largeRecording(bytes: number): Large {
  const place = mkdtempSync(path.join(tmpdir(), 'striderule-large-'));
  const study = path.join(place, 'study');
  mkdirSync(study);
  writeFileSync(path.join(study, 'study.yaml'), 'name: large\n');
  const recipe = path.join(place, 'recipe.yaml');
  writeFileSync(recipe, RECORDING_RECIPE);
  const csv = path.join(place, 'large.csv');
  const strides = writeRecording(csv, bytes);
  return {
    study,
    csv,
    recipe,
    strides,
    bytes: statSync(csv).size,
    remove: () => rmSync(place, { recursive: true, force: true }),
  };
}

/** Imports it in a process of its own; memory in bytes. */
export async function importApart(large: Large) {
  const script = path.join(import.meta.dirname, 'test-import-memory.ts');
  const { stdout } = await promisify(execFile)(process.execPath, [
    '--import',
    'tsx',
    script,
    large.study,
    large.csv,
    large.recipe,
  ]);
  const { strides, before, peak, seconds, cpuSeconds } = JSON.parse(stdout) as Record<
    'strides' | 'before' | 'peak' | 'seconds' | 'cpuSeconds',
    number
  >;
  const rate = (time: number) => `${Math.round(large.bytes / 1e6 / time)} MB/s`;
  return {
    strides,
    peak,
    grown: peak - before,
    text: `${Math.round(large.bytes / 1e6)} MB, ${strides} strides, copy and SHA-256 included: ${rate(seconds)} by the clock, ${rate(cpuSeconds)} of processor time, at most ${Math.round(peak / 1e6)} MB of memory`,
  };
}
