import { cpSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { evidenceOf } from './hazard-evidence.ts';
import { checkStudy } from './open-study.ts';

const TERN = new URL('../examples/tern', import.meta.url).pathname;

describe('what a hazard is shown by', () => {
  test('names of requirements and faults, and words for people', () => {
    expect(evidenceOf('open')).toEqual([]);
    expect(evidenceOf('requirement a, b; fault c; a test on the bench')).toEqual([
      { kind: 'requirement', name: 'a' },
      { kind: 'requirement', name: 'b' },
      { kind: 'fault', name: 'c' },
    ]);
  });

  test('a name that stands for nothing is a fault at its place, with the names that there are', async () => {
    const folder = path.join(mkdtempSync(path.join(tmpdir(), 'striderule-')), 'study');
    cpSync(TERN, folder, { recursive: true });
    const file = path.join(folder, 'hazards.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace('fault pack-opens', 'fault pack-shuts'));
    const faults = await checkStudy(folder);
    expect(faults).toHaveLength(1);
    expect(faults[0]!.what).toBe(
      'the hazard `pack-opens-braking` is shown by the fault `pack-shuts`, and there is none of that name',
    );
    expect(faults[0]!.mend).toContain('power-lost, pack-opens, knee-missing');
    expect(faults[0]!.place?.line).toBe(14);
  });
});
