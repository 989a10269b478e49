import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Fault } from '@striderule/engine';
import fc from 'fast-check';
import { expect } from 'vitest';
import { openStudy } from './open-study.ts';

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
      async (file, where, length, text) => {
        const path = join(folder, file);
        const sound = readFileSync(path, 'utf8');
        const at = Math.floor(where * sound.length);
        const damaged = sound.slice(0, at) + text + sound.slice(at + length);
        writeFileSync(path, damaged);
        try {
          await openStudy(folder);
        } catch (error) {
          if (!(error instanceof Fault)) throw error;
          for (const fault of error.faults) expect(fault.mend.length).toBeGreaterThan(5);
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
