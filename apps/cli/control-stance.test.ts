import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { evaluateDesign, stanceOverPhase, stanceSchedule } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, striderule } from './test-command.ts';

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

  test('own strides at two speeds tell apart what one speed does not', async () => {
    const study = copyOfDemo();
    const file = path.join(study, 'recordings/demo-strides.csv');
    const heads = readFileSync(file, 'utf8').split('\n')[1]!.split(';');
    // the same person slower: a fifth more time, smaller angles, and smaller moments yet
    const slower = readFileSync(file, 'utf8')
      .split('\n')
      .map((line) => {
        const cells = line.split(';');
        if (!/^\d/.test(line)) return line;
        const scaled = (k: number, by: number): void => {
          cells[k] = (Number(cells[k]!.replace(',', '.')) * by).toFixed(6).replace('.', ',');
        };
        scaled(heads.indexOf('Time [s]'), 1.2);
        for (const joint of ['Hip', 'Knee', 'Ankle']) {
          scaled(heads.indexOf(`${joint} angle [deg]`), 0.9);
          scaled(heads.indexOf(`${joint} moment [Nm]`), 0.75);
        }
        scaled(heads.indexOf('Ankle power [W]'), (0.9 * 0.75) / 1.2);
        return cells.join(';');
      })
      .join('\n');
    writeFileSync(path.join(study, 'recordings/slower.csv'), slower);
    const task = readFileSync(path.join(study, 'tasks/own-walk.yaml'), 'utf8');
    writeFileSync(
      path.join(study, 'tasks/own-slow.yaml'),
      task
        .replace('Own walk, six strides', 'Own walk, slower')
        .replace('demo-strides.csv', 'slower.csv')
        .replace(/sha256: [0-9a-f]{64}/, `sha256: ${createHash('sha256').update(slower).digest('hex')}`)
        .replace('speed: 1.3 m/s', 'speed: 1.0 m/s'),
    );
    const told = async (task: string) => {
      const { code, stdout, stderr } = await striderule([
        ...['control', 'stance', '--joint', 'knee', '--study', study, '--task', task, '--json'],
      ]);
      expect(stderr).toBe('');
      expect(code).toBe(0);
      return JSON.parse(stdout);
    };
    const [one, both] = [await told('own-walk'), await told('own-walk,own-slow')];
    expect(one.overPhase.openBecause).toContain('add strides of other speeds');
    expect(both.overPhase.condition).toBeLessThan(1e4);
    expect(both.overPhase.tasks.map(({ task }: { task: string }) => task)).toEqual(['own-walk', 'own-slow']);
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
