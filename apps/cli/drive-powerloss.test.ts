import { evaluateDesign, jointPowerLoss, legPackOpen } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

describe('drive powerloss', () => {
  test('verdict first, strips, one task closely, trade, pack, cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'powerloss']);
    expect(code).toBe(0);
    expect(stdout).toMatch(
      /^Not safe at every instant: knee gives way at \d+ and lands bent at \d+ of \d+ instants; /,
    );
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'phases shorted through 0.700 Ω each',
      'Level walking 1.22 m/s, knee',
      'No single value serves both',
      'Pack opening while braking',
      'collapses when power is cut in stance',
      'ethics board',
    ])
      expect(stdout.replaceAll('\n', ' ')).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('a joint and a task; --json equals the engine', async () => {
    const closely = await striderule(['drive', 'powerloss', '--joint', 'ankle', '--task', 'walk-fast']);
    expect(closely.stdout).toContain('Level walking 1.97 m/s, ankle');
    expect(closely.stdout).not.toContain('Trade in the knee');
    const { stdout } = await striderule(['drive', 'powerloss', '--joint', 'knee', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const design = evaluateDesign(input);
    const got = JSON.parse(stdout);
    expect(got.joints).toEqual(asJson({ knee: jointPowerLoss(input, design, 'knee') }));
    expect(got.packOpen).toEqual(asJson(legPackOpen(input, design)));
    expect(got.trade.length).toBeGreaterThan(8);
  });

  test('a leg that drives no joint', async () => {
    const { code, stdout } = await striderule(['drive', 'powerloss', '--leg', 'passive']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^This leg drives no joint: no power is lost\./);
  });
});
