import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Fault } from '@striderule/engine';
import fc from 'fast-check';
import { expect } from 'vitest';
import { openStudy } from './open-study.ts';

/** Values that are valid YAML and wrong almost anywhere. */
const VALUES = [
  '0',
  '-1',
  '1e308 m',
  '.inf',
  '[]',
  '{}',
  '[1, 2]',
  '{ value: { value: 1 m } }',
  '{ value: 1 m, sd: {} }',
  '2020-01-01',
  '!!set { a }',
  '&a [*a]',
  '0 kg',
  '1e300 N*m',
  '-5 %',
  'true',
  '""',
];

function textDamage(sound: string, where: number, length: number, text: string): string {
  const at = Math.floor(where * sound.length);
  return sound.slice(0, at) + text + sound.slice(at + length);
}

function lineDamage(sound: string, where: number, way: string, value: string): string {
  const lines = sound.split('\n');
  const at = Math.floor(where * lines.length);
  const line = lines[at] ?? '';
  const instead: Readonly<Record<string, string[]>> = {
    'line gone': [],
    'line twice': [line, line],
    'line indented': [`  ${line}`],
    'value replaced': [line.replace(/: .*$/, `: ${value}`)],
  };
  lines.splice(at, 1, ...(instead[way] ?? [line]));
  return lines.join('\n');
}

/** Random damage to a random file: whatever happens is a Fault or a sound study, and the file is as it was. */
export async function damage(seed: number, runs: number): Promise<void> {
  const files = [
    'study.yaml',
    'legs/tern.yaml',
    'wearers/w01.yaml',
    'requirements.yaml',
    'tasks/walk-natural.yaml',
    'motors/demo.csv',
    'hazards.yaml',
    'controllers/tern.yaml',
    'tasks/walk-1p4.yaml',
    'tasks/stand.yaml',
    'tasks/ramp-steep.yaml',
  ];
  const folder = mkdtempSync(join(tmpdir(), 'striderule-damage-'));
  cpSync(new URL('../examples/tern', import.meta.url).pathname, folder, { recursive: true });
  const junk = fc.constantFrom(
    '',
    '\t',
    ':',
    '- ',
    '{',
    '}',
    '"',
    '*x',
    '&x ',
    '1e999',
    'NaN',
    '.nan',
    'null',
    '~',
    '0x',
    '[',
    '💥',
    '-',
    '%',
    '!!binary ',
    '<<: *a',
    '?',
    '|',
    '>-',
    '2,5 kg',
  );
  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom(...files),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.nat(40),
      junk,
      fc.constantFrom('text', 'line gone', 'line twice', 'line indented', 'value replaced'),
      fc.constantFrom(...VALUES),
      async (file, where, length, text, way, value) => {
        const path = join(folder, file);
        const sound = readFileSync(path, 'utf8');
        const damaged =
          way === 'text' ? textDamage(sound, where, length, text) : lineDamage(sound, where, way, value);
        writeFileSync(path, damaged);
        try {
          await openStudy(folder);
        } catch (error) {
          if (!(error instanceof Fault)) throw error;
          for (const fault of error.faults) {
            expect(fault.mend.length).toBeGreaterThan(5);
            expect(fault.place?.file).toBeTruthy();
            expect(`${fault.what} ${fault.mend}`).not.toMatch(/\[object|\bundefined\b|Invalid input/);
          }
        } finally {
          expect(readFileSync(path, 'utf8')).toBe(damaged);
          writeFileSync(path, sound);
        }
      },
    ),
    { seed, numRuns: runs },
  );
  rmSync(folder, { recursive: true, force: true });
}
