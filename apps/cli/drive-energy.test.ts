import { evaluateDesign, legEnergy } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

describe('drive energy', () => {
  test('verdict first, energy, balance, envelope, what limits charging, cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'energy']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^(Within the limits|Beyond a limit|Not known)/);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'Where it goes, J a stride',
      'Envelope with winding and magnets',
      'No energy:',
      'One charge gives',
      'The brake resistor cannot hold that limit while the pack is connected',
      'damping must not change when the battery is full',
      'when the pack opens while braking',
      'ethics board',
    ])
      expect(stdout.replaceAll(/\n\s*/g, ' ')).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('one task, joint by joint', async () => {
    const { code, stdout } = await striderule(['drive', 'energy', '--task', 'walk-natural']);
    expect(code).toBe(0);
    expect(stdout).toContain('joint by joint');
    expect(stdout).toContain('The knee gives the ankle');
    expect(stdout).not.toContain('stair-up');
  });

  test('a task without energy says why', async () => {
    const { code, stdout } = await striderule(['drive', 'energy', '--task', 'ramp-down']);
    expect(code).toBe(0);
    expect(stdout).toContain('task ramp-down has no knee curve with moments');
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['drive', 'energy', '--task', 'stair-down', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const energy = legEnergy(input, evaluateDesign(input));
    if ('openBecause' in energy) throw new Error(energy.openBecause);
    const { tasks, ...told } = JSON.parse(stdout);
    expect(tasks).toEqual(asJson(energy.tasks.filter(({ id }) => id === 'stair-down')));
    expect(told.bus).toEqual(asJson(energy.bus));
  });

  test('a leg that drives no joint', async () => {
    const { code, stdout } = await striderule(['drive', 'energy', '--leg', 'passive']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Not known: the leg drives no joint\./);
  });
});
