import { evaluateDesign, stanceOverPhase, stanceSchedule } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, striderule } from './test-command.ts';

describe('control stance', () => {
  test('verdict first, sub-phases, switches, tasks, phase, published rows, what it is not, cautions', async () => {
    const { code, stdout } = await striderule(['control', 'stance']);
    expect(code).toBe(0);
    expect(stdout).toMatch(
      /^(Not followed|Followed( in \d of \d tasks)?): ankle, one schedule for 4 tasks: /,
    );
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'late dorsiflexion',
      'largest jump',
      'stored at contact',
      'Over phase, polynomials',
      'perturbation',
      'what a push meets is another number',
      'ethics board',
    ])
      expect(stdout).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine, --csv has a row a sub-phase', async () => {
    const { input } = await openStudy(DEMO_STUDY);
    const design = evaluateDesign(input);
    const args = ['control', 'stance', '--joint', 'knee', '--task', 'walk-natural,walk-fast'];
    const said = JSON.parse((await striderule([...args, '--json'])).stdout);
    const tasks = ['walk-natural', 'walk-fast'];
    expect(said.subphases).toEqual(asJson(stanceSchedule(input, design, 'knee', tasks)));
    expect(said.overPhase).toEqual(asJson(stanceOverPhase(input, design, 'knee', tasks)));
    expect(said.alone['walk-fast']).toEqual(asJson(stanceSchedule(input, design, 'knee', ['walk-fast'])));
    const table = await striderule([...args, '--csv']);
    expect(table.stdout.trim().split('\n')).toHaveLength(1 + 3);
  });

  test('own strides; what they do not tell is refused in words', async () => {
    const { stdout } = await striderule(['control', 'stance', '--joint', 'knee', '--task', 'own-walk']);
    expect(stdout).toContain('over phase it is refused');
    expect(stdout).toContain('add strides of other speeds');
  });

  test('a leg that drives no joint; a task that is not there', async () => {
    const passive = await striderule(['control', 'stance', '--leg', 'passive']);
    expect(passive.code).toBe(0);
    expect(passive.stdout).toMatch(/^Refused: the leg has no ankle drive\./);
    const wrong = await striderule(['control', 'stance', '--task', 'walk-natural,walk-fats']);
    expect(wrong.code).toBe(2);
    expect(wrong.stderr).toContain('Did you mean "walk-fast"?');
  });
});
