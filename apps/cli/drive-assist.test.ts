import { assistance, evaluateDesign } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

describe('drive assist', () => {
  test('verdict first, tasks alone, assisted and unpowered, what is left out, cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'assist']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^With 30 % of the human moment: knee leaves \d+ % of the effort, /);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of ['unpowered it takes', 'Left out', 'limit ÷ need', 'ethics board'])
      expect(stdout).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine, --csv has a row a task; a leg that drives no joint', async () => {
    const { input } = await openStudy(DEMO_STUDY);
    const ankle = assistance(input, evaluateDesign(input), 'ankle', 0.5)!;
    const asked = ['drive', 'assist', '--joint', 'ankle', '--share', '0.5'];
    const { stdout } = await striderule([...asked, '--json']);
    expect(JSON.parse(stdout).assistance).toEqual(asJson([ankle]));
    const table = await striderule([...asked, '--csv']);
    expect(table.stdout.trim().split('\n')).toHaveLength(1 + ankle.tasks.length);
    const passive = await striderule(['drive', 'assist', '--leg', 'passive']);
    expect(passive.stdout).toMatch(/^This leg drives no joint/);
  });

  test('a share that is none is refused', async () => {
    for (const given of ['1.2', '-0.1', 'half', '']) {
      const { code, stderr } = await striderule(['drive', 'assist', `--share=${given}`]);
      expect(code).toBe(2);
      expect(stderr).toContain('--share is a part of the human moment, 0 to 1');
    }
  });
});
