import { degFromRad, springChoice, studyDemands } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

describe('drive spring', () => {
  test('verdict first, both kinds, lines for the leg file, what is not counted, cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'spring']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^A (one|two)-sided spring of \d+ N·m\/rad at the ankle takes \d+ % off/);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'one-sided',
      'two-sided',
      'parallelSpring:',
      'Standing is not counted',
      'ethics board',
    ])
      expect(stdout).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
    const { input } = await openStudy(DEMO_STUDY);
    const { best } = springChoice(input, studyDemands(input), 'ankle', 'one-sided')!;
    expect(stdout).toContain(`equilibrium: ${degFromRad(best.spring!.equilibrium).toFixed(2)} deg`);
  });

  test('--json equals the engine, --csv has a row a spring; a leg that drives no joint', async () => {
    const { input } = await openStudy(DEMO_STUDY);
    const demands = studyDemands(input);
    const choices = (['one-sided', 'two-sided'] as const).map((kind) =>
      springChoice(input, demands, 'knee', kind),
    );
    const { stdout } = await striderule(['drive', 'spring', '--joint', 'knee', '--json']);
    expect(JSON.parse(stdout).choices).toEqual(asJson(choices));
    const table = await striderule(['drive', 'spring', '--joint', 'knee', '--csv']);
    expect(table.stdout.trim().split('\n')).toHaveLength(1 + 2 * 9);
    const passive = await striderule(['drive', 'spring', '--leg', 'passive']);
    expect(passive.code).toBe(0);
    expect(passive.stdout).toMatch(/^This leg drives no joint/);
  });
});
