import { estimateSettling, slopeEstimates, walkEstimate } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

describe('control estimate', () => {
  test('one line first, then tasks, slopes, changes, what is not judged, hull, cautions', async () => {
    const { code, stdout } = await striderule(['control', 'estimate']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Read while walking on the level: speed within [\d.]+ %, slope within [\d.]+°/);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'settled 2 strides after a change.',
      'Refused outside 0.84 … 2.10 m/s and −10 … 10°',
      'stair-up: stair ascent is no level walking.',
      'no stride on a slope ships',
      'DANGER: a slope misjudged',
      'ethics board',
    ])
      expect(stdout.replace(/\s+/g, ' ')).toContain(told);
    for (const row of ['walk-fast', 'own-walk', ' +−8 +whole leg', ' +8 +ankle', 'fastest to slowest'])
      expect(stdout).toMatch(new RegExp(`^${row} `, 'm'));
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine, --csv has as many columns as its head', async () => {
    const { stdout } = await striderule(['control', 'estimate', '--task', 'walk-slow', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const report = JSON.parse(stdout);
    expect(report.tasks).toEqual([asJson(walkEstimate(input, 'walk-slow'))]);
    expect(report.slopes).toEqual(asJson(slopeEstimates(input, 'walk-slow')));
    expect(report.settling).toEqual(asJson(estimateSettling(input, 'walk-slow')));
    const table = await striderule(['control', 'estimate', '--task', 'walk-slow', '--csv']);
    const [head, ...rows] = table.stdout.trim().split('\n');
    expect(rows).toHaveLength(1 + 8);
    for (const row of rows) expect(row.split(',')).toHaveLength(head!.split(',').length);
  });

  test('a task that is no walk says so', async () => {
    const { code, stdout } = await striderule(['control', 'estimate', '--task', 'stair-up']);
    expect(code).toBe(0);
    expect(stdout.replace(/\s+/g, ' ')).toMatch(
      /^No speed or slope can be read: stair-up, stair ascent is no level walking\./,
    );
  });
});
