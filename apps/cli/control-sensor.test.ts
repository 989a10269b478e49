import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { sensedSwing, sensorBudget } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, striderule } from './test-command.ts';

describe('control sensor', () => {
  test('one line first, then the budget, the tasks, the times, what is not judged, cautions', async () => {
    const { code, stdout } = await striderule(['control', 'sensor']);
    expect(code).toBe(0);
    expect(stdout).toMatch(
      /^Thigh read [\d.]+° RMS off in walk-natural: phase by up to [\d.]+ % of a stride/,
    );
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'Improve first: accelerometer bias.',
      'stair-up: its thigh ends',
      'ramp-up: its stride has no thigh',
      'as the ground force of both legs',
      'DANGER: a thigh that is misread',
      'ethics board',
    ])
      expect(stdout.replace(/\s+/g, ' ')).toContain(told);
    for (const row of ['gyro noise', 'soft mounting', 'delay', 'all together', 'walk-fast', 'own-walk'])
      expect(stdout).toMatch(new RegExp(`^${row} `, 'm'));
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine, --csv has as many columns as its head', async () => {
    const { stdout } = await striderule(['control', 'sensor', '--task', 'walk-slow', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const report = JSON.parse(stdout);
    expect(report.budget).toEqual(asJson(sensorBudget(input, 'walk-slow')));
    expect(report.tasks).toEqual([{ task: 'walk-slow', error: asJson(sensedSwing(input, 'walk-slow')) }]);
    const table = await striderule(['control', 'sensor', '--task', 'walk-slow', '--csv']);
    const [head, ...rows] = table.stdout.trim().split('\n');
    expect(rows).toHaveLength(10);
    for (const row of rows) expect(row.split(',')).toHaveLength(head!.split(',').length);
  });

  test('a leg file that does not say enough: the fields are named', async () => {
    const study = copyOfDemo();
    const file = path.join(study, 'legs/tern.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace(/^ {2}drift:.*\n/m, ''));
    const { code, stdout } = await striderule(['control', 'sensor', '--study', study]);
    expect(code).toBe(0);
    expect(stdout.replace(/\s+/g, ' ')).toMatch(
      /^No thigh sensor can be judged: .*add `drift` under `thighSensor`/,
    );
  });
});
