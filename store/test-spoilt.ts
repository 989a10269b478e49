import { chmodSync, cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type FaultData, faultText } from '@striderule/engine';
import { afterAll, expect } from 'vitest';
import { checkStudy } from './open-study.ts';

const demo = fileURLToPath(new URL('../examples/tern', import.meta.url));
const made: string[] = [];
afterAll(() => {
  for (const folder of made) rmSync(folder, { recursive: true, force: true });
});

/** A copy of the demo study, deleted when the tests of the file are done. */
export function copyOfDemo(): string {
  const folder = mkdtempSync(join(tmpdir(), 'striderule-bad-'));
  made.push(folder);
  cpSync(demo, folder, { recursive: true });
  return folder;
}

/** The demo study with one text replaced in one file. */
export function spoilt(file: string, from: string | RegExp, to: string, folder = copyOfDemo()): string {
  const path = join(folder, file);
  const text = readFileSync(path, 'utf8');
  const changed = text.replace(from, to);
  expect(changed, `${file} holds ${from}`).not.toBe(text);
  writeFileSync(path, changed);
  return folder;
}

/** Where a fault points: its excerpt is that very line of the file, and the caret stands inside it. */
function expectPlace(folder: string, { place }: FaultData): void {
  if (place?.file === undefined || place.line === undefined) return;
  const lines = readFileSync(join(folder, place.file), 'utf8').split(/\r?\n/);
  expect(place.excerpt).toBe(lines[place.line - 1]);
  expect(place.column).toBeGreaterThanOrEqual(1);
  expect(place.column).toBeLessThanOrEqual(place.excerpt!.length + 1);
}

/** Every fault of the study as text. Each points at a line that is there. */
export async function faultsOf(folder: string): Promise<string[]> {
  const faults = await checkStudy(folder);
  for (const fault of faults) expectPlace(folder, fault);
  return faults.map((fault) => faultText(fault));
}

/** The one fault, with the number of its line taken out so that the demo may grow. */
export async function only(folder: string): Promise<string> {
  const faults = await faultsOf(folder);
  expect(faults).toHaveLength(1);
  return faults[0]!.replace(/:\d+:(\d+)/, ':LINE:$1');
}

/** The folder with every permission to write taken away. */
export function readOnly(folder: string): string {
  for (const sub of ['.', 'legs', 'tasks', 'wearers', 'motors', 'controllers'])
    chmodSync(join(folder, sub), 0o555);
  return folder;
}
