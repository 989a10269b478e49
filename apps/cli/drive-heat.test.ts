import { evaluateDesign, jointHeat } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

describe('drive heat', () => {
  test('verdict first, tasks, course, times, what is left out, unknown surface limit, cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'heat']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^(Too hot|Below the limit): hottest winding over the schedule, knee /);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'surface limit unknown',
      'Left out',
      'winding  ▁',
      'stalled, worst angle',
      'Runaway from',
      'ethics board',
    ])
      expect(stdout).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['drive', 'heat', '--joint', 'knee', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    expect(JSON.parse(stdout).heat).toEqual(
      asJson({ knee: jointHeat(input, evaluateDesign(input), 'knee') }),
    );
  });

  test('a leg that drives no joint', async () => {
    const { code, stdout } = await striderule(['drive', 'heat', '--leg', 'passive']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^This leg drives no joint: nothing heats\./);
  });
});
