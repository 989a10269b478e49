import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { walkReport } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, striderule } from './test-command.ts';

const SHORT = ['walk', 'run', '--speed', '1.1m/s', '--strides', '4'];

describe('walk run', () => {
  test('one line first, then walks, wearer, energy, what was set against outside, cautions', async () => {
    const { code, stdout, stderr } = await striderule(SHORT);
    expect(code).toBe(0);
    const said = stdout.replace(/\s+/g, ' ');
    expect(said).toMatch(
      /^Of 2 walks none fell; \d+ of 8 figures lie where .* the energy misses at most 0\.\d+ %/,
    );
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'at unchanged thigh motion; length of the stride: not predicted',
      'thigh prescribed',
      'thigh led',
      'how often the load goes over to the other flank, and what the speed of the hardest meeting of flanks can add',
      'a weak guide keeps the height of the hip',
      'without slipping; by regression over stature',
      'Hood, Ishmael',
      'ethics board',
    ])
      expect(said).toContain(told);
    expect(said).not.toMatch(/NaN|undefined|null|Infinity/);
    expect(stderr).toContain('Walking 100 %');
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule([...SHORT, '--thigh', 'led', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const { walks } = JSON.parse(stdout);
    expect(walks).toHaveLength(1);
    const own = walkReport(input, { speed: 1.1, thigh: 'led' }, { step: 2.5e-4, strides: 4 });
    expect(walks[0]).toEqual(asJson(own));
  });

  test('--csv: a row a stride', async () => {
    const { stdout } = await striderule([...SHORT, '--csv']);
    const [head, ...rows] = stdout.trim().split('\n');
    expect(head).toContain('hip_positive_J');
    expect(rows).toHaveLength(6);
    for (const one of rows) expect(one.split(',')).toHaveLength(head!.split(',').length);
  });

  test('--control study walks with the controller that the study names', async () => {
    const { code, stdout } = await striderule([
      ...[
        'walk',
        'run',
        '--speed',
        '1.22m/s',
        '--strides',
        '4',
        '--control',
        'study',
        '--thigh',
        'prescribed',
      ],
    ]);
    expect(code).toBe(0);
    expect(stdout.replace(/\s+/g, ' ')).toContain('the one that the study names, as data');
  });

  test('words and numbers it does not take', async () => {
    for (const [words, told] of [
      [['--speed', '1.1'], '--speed "1.1"'],
      [['--strides', '2.5'], '--strides "2.5"'],
      [['--thigh', 'lead'], '--thigh "lead"'],
    ] as const) {
      const { code, stderr } = await striderule(['walk', 'run', ...words]);
      expect(code).toBe(2);
      expect(stderr).toContain(told);
    }
    const slow = await striderule(['walk', 'run', '--speed', '0.3m/s']);
    expect(slow.code).toBe(1);
    expect(slow.stderr).toContain('0.3 m/s is outside');
    const step = await striderule([...SHORT, '--step', '0.3ms']);
    expect(step.code).toBe(1);
    expect(step.stderr).toContain('does not divide the controller’s period');
  });

  test('a leg file that lacks something is told field by field', async () => {
    const study = copyOfDemo();
    const file = path.join(study, 'legs/tern.yaml');
    writeFileSync(
      file,
      readFileSync(file, 'utf8')
        .replace(/^ {2}heelStiffness:.*\n/m, '')
        .replace(/^ {2}toeStiffness:.*\n/m, ''),
    );
    const { code, stderr } = await striderule(['walk', 'run', '--study', study]);
    expect(code).toBe(1);
    expect(stderr).toContain('`heelStiffness` under `foot`');
    expect(stderr).toContain('`toeStiffness` under `foot`');
  });
});

describe('walk compare', () => {
  test('legs side by side: a higher ratio asks more of the hip and gives less push-off', async () => {
    const words = ['walk', 'compare', 'tern', 'tern-100', '--strides', '5', '--thigh', 'prescribed'];
    const { code, stdout } = await striderule(words);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Thigh prescribed: tern-100 asks [\d.]+ J a stride of the hip, tern [\d.]+ J/);
    expect(stdout).toContain(DEMO_MARK);
    expect(stdout).toContain('ethics board');
    const { walks } = JSON.parse((await striderule([...words, '--json'])).stdout);
    expect(walks.map(({ leg }: { leg: string }) => leg)).toEqual(['tern', 'tern-100']);
    expect(stdout).toMatch(/Tuning burden in stance.*tern-100 +100\/100 +prescribed( +[\d.]+){4} +yes/s);
    expect(walks[1].report.burden.knee.walked).toBeGreaterThan(walks[0].report.burden.knee.walked);
    expect(walks[1].report.steady.pushOff).toBeLessThan(walks[0].report.steady.pushOff);
    const csv = (await striderule([...words, '--csv'])).stdout.trim().split('\n');
    expect(csv).toHaveLength(3);
  });

  test('one leg alone is nothing to compare', async () => {
    expect((await striderule(['walk', 'compare', 'tern'])).code).toBe(2);
  });
});

describe('walk powercut', () => {
  test('twenty places, with power beside them, and what it is not', async () => {
    const { code, stdout } = await striderule(['walk', 'powercut', '--step', '0.5ms']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^In stance the knee bends to \d+° at most before toe-off/);
    expect(stdout.match(/^ +\d+ {2}(stance|swing) /gm)).toHaveLength(20);
    for (const told of [DEMO_MARK, 'rehearses no fall', 'ethics board'])
      expect(stdout.replace(/\s+/g, ' ')).toContain(told);
  });

  test('a leg file that does not say what the phases do', async () => {
    const study = copyOfDemo();
    const file = path.join(study, 'legs/tern.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace(/^ +lossOfPower:.*\n/gm, ''));
    const { code, stderr } = await striderule(['walk', 'powercut', '--study', study]);
    expect(code).toBe(1);
    expect(stderr).toContain('add `lossOfPower` under `electronics`');
  });
});
