import { isWalked, openTolerance } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

describe('drive tolerance', () => {
  test('verdict first, a row a requirement, tests that pay, what was drawn, cautions; progress apart', async () => {
    const { code, stdout, stderr } = await striderule(['drive', 'tolerance', '--draws', '60']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Of \d+ requirements over 60 drawn legs and people: /);
    expect(stdout).toContain(DEMO_MARK);
    const { input } = await openStudy(DEMO_STUDY);
    for (const { id, metric } of input.requirements)
      if (!isWalked(metric)) expect(stdout).toContain(`\n${id} `);
    // drawn legs are not walked, and that is said
    expect(stdout).toContain('Not here, since walks judge them');
    for (const told of [
      'The next bench test that pays',
      'knee: inertia from acceleration against a known torque',
      'COMMON PRACTICE: measure them',
      'of demo data',
      'ethics board',
    ])
      expect(stdout).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
    expect(stderr).toContain('60 of 60');
  });

  test('--json equals the engine with the same seed; --csv has a row a requirement', async () => {
    const asked = ['drive', 'tolerance', '--draws', '25', '--seed', '9', '--stated'];
    const { input } = await openStudy(DEMO_STUDY);
    const run = openTolerance(input, { seed: 9, statedOnly: true });
    run.draw(25);
    const { stdout } = await striderule([...asked, '--json']);
    expect(JSON.parse(stdout).tolerance).toEqual(asJson(run.result()));
    const table = await striderule([...asked, '--csv']);
    expect(table.stdout.trim().split('\n')).toHaveLength(
      1 + input.requirements.filter(({ metric }) => !isWalked(metric)).length,
    );
  });

  test('a number of draws that is none is refused with the way out', async () => {
    for (const given of ['0', '2.5', 'many']) {
      const { code, stdout, stderr } = await striderule(['drive', 'tolerance', '--draws', given]);
      expect(code).toBe(2);
      expect(stdout).toBe('');
      expect(stderr).toContain(`--draws is a whole number from 1 to 1000000, not "${given}"`);
    }
  });
});
