import { gaitDemand, shownMoment } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

const { input } = await openStudy(DEMO_STUDY);

describe('demand show', () => {
  test('verdict first, then study and demo mark, then every task that has a curve', async () => {
    const { code, stdout, stderr } = await striderule(['demand', 'show']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Most asked: /);
    expect(stdout).toContain(DEMO_MARK);
    for (const task of input.tasks) expect(stdout).toContain(task.id);
    expect(stdout).toContain('Peaks only: no curve, so no heat and no energy');
    expect(stdout).toContain('What 100 g cost in swing');
    expect(stdout).not.toMatch(/NaN|undefined|null|\[object/);
    expect(stdout).not.toMatch(/\s-\d/); // the minus is a true minus
    expect(stderr).toContain('this is the demo study');
  });

  test('one instant: the engine’s numbers, moments as the literature prints them', async () => {
    const task = input.tasks.find(({ id }) => id === 'walk-natural')!;
    const demand = gaitDemand(task, input.strides, input.wearer, input.leg.segments);
    if (demand.kind !== 'stride') throw new Error('walk-natural has a curve');
    const { stdout } = await striderule([
      'demand',
      'show',
      '--task',
      'walk-natural',
      '--joint',
      'ankle',
      '--at',
      '46',
    ]);
    const row = stdout.split('\n').find((line) => line.startsWith('ankle'))!;
    expect(row.split(/\s{2,}/)[3]).toBe(shownMoment(demand.joints.ankle!.moment[92]!).toFixed(1));
    expect(Number(row.split(/\s{2,}/)[3])).toBeGreaterThan(100); // plantarflexor positive at push-off
    expect(stdout).toContain('plantarflexor positive');
    expect(stdout).not.toMatch(/^knee/m);
  });

  test('one task is drawn on one stride axis, with its notes', async () => {
    const { stdout } = await striderule(['demand', 'show', '--task', 'walk-natural']);
    const pictures = stdout.split('\n').filter((line) => /[▁▂▃▄▅▆▇█]{51}/.test(line));
    expect(pictures).toHaveLength(12);
    expect(new Set(pictures.map((line) => line.search(/[▁▂▃▄▅▆▇█]/))).size).toBe(1);
    expect(stdout).toMatch(/┴────┴.*┃/);
    expect(stdout).toContain('- In stance the scaled human moment; in swing this leg');
  });

  test('--json is the engine’s own record and nothing else', async () => {
    const { code, stdout } = await striderule(['demand', 'show', '--json']);
    expect(code).toBe(0);
    const { demands, demo } = JSON.parse(stdout);
    expect(demo).toBe(true);
    const ours = input.tasks.map((task) => gaitDemand(task, input.strides, input.wearer, input.leg.segments));
    expect(demands).toEqual(asJson(ours));
  });

  test('--csv with a task: one row each half per cent, numbers of full precision', async () => {
    const { stdout } = await striderule([
      'demand',
      'show',
      '--task',
      'walk-natural',
      '--joint',
      'knee',
      '--csv',
    ]);
    const lines = stdout.trimEnd().split('\n');
    expect(lines).toHaveLength(202);
    expect(lines[0]).toContain('knee moment (N·m; extensor positive)');
    expect(lines[1]!.split(',')[0]).toBe('0');
    expect(lines[201]!.split(',')[0]).toBe('100');
  });

  test('a reader that has seen enough ends it quietly', async () => {
    const { stdout, code } = await striderule(['demand', 'show', '--csv']);
    expect(code).toBe(0);
    expect(stdout.split('\n')[0]).toContain('peak moment (N·m; extensor and plantarflexor positive)');
  });
});
