import { evaluateDesign } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

const { input } = await openStudy(DEMO_STUDY);

describe('drive check', () => {
  test('figures, margins, hints that say they are hints, and cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'check']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^(Enough|Not enough): least limit ÷ need is torque /);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'lossless',
      'with drag and mesh',
      'reflected inertia',
      'COMMON PRACTICE',
      'tethered bench',
      'ethics board',
    ]) {
      expect(stdout).toContain(told);
    }
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['drive', 'check', '--joint', 'ankle', '--json']);
    const { figures, loads } = JSON.parse(stdout);
    const ours = evaluateDesign(input);
    expect(figures).toEqual(asJson({ ankle: ours.figures.ankle }));
    expect(loads['walk-natural']).toEqual(asJson({ ankle: ours.loads['walk-natural']!.ankle }));
  });

  test('another leg of the study, and one that drives no joint', async () => {
    const high = await striderule(['drive', 'check', '--leg', 'tern-50']);
    expect(high.stdout).toMatch(/^ratio +50\.0 +50\.0 {2}: 1$/m);
    const passive = await striderule(['drive', 'check', '--leg', 'passive']);
    expect(passive.code).toBe(0);
    expect(passive.stdout).toMatch(/^This leg drives no joint: nothing to check\./);
    const unknown = await striderule(['drive', 'check', '--leg', 'ternn']);
    expect(unknown.code).toBe(1);
    expect(unknown.stderr).toContain('legs/ternn.yaml: there is no such file');
  });

  test('--csv: a row a task and joint', async () => {
    const { stdout } = await striderule(['drive', 'check', '--csv', '--task', 'walk-natural']);
    expect(stdout.trimEnd().split('\n')).toHaveLength(3);
  });
});
