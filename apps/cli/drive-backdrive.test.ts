import { jointBackDrive } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

describe('drive backdrive', () => {
  test('class first, both ways, powered and not, published shares, cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'backdrive']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Transparency: knee transparent \(breakaway 0\.742 % of peak torque/);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'plantarflexion',
      'to start: open, shorted, or powered with zero current',
      'shorted through 0.700 Ω each',
      'Cogging is not known by angle',
      '6.17 %',
      '2.29 %',
      'collapses when power is cut in stance',
      'ethics board',
    ])
      expect(stdout.replace(/\n\s*/g, ' ')).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['drive', 'backdrive', '--joint', 'knee', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    expect(JSON.parse(stdout).backDrive).toEqual(asJson({ knee: jointBackDrive(input, 'knee') }));
  });

  test('a leg that drives no joint', async () => {
    const { code, stdout } = await striderule(['drive', 'backdrive', '--leg', 'passive']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^This leg drives no joint: nothing to move through a motor\./);
  });
});
