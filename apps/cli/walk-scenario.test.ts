import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { striderule } from './test-command.ts';

describe('walk scenario', () => {
  test('one line first, then the walk stride by stride, what nobody does, cautions', async () => {
    const { code, stdout, stderr } = await striderule(['walk', 'scenario', 'step-15']);
    expect(code).toBe(0);
    const said = stdout.replace(/\s+/g, ' ');
    expect(said).toMatch(/^Walked: onto a step of 15 mm; none fell\./);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of ['push-off', 'rehearses no fall', 'ethics board']) expect(said).toContain(told);
    expect(said).not.toMatch(/NaN|undefined|null|Infinity/);
    expect(stderr).toContain('Walking 100 %');
  });

  test('a fall: when, why, exit 1, and the log up to it', async () => {
    const told = await striderule(['walk', 'scenario', 'down-5-untold']);
    expect(told.code).toBe(1);
    const [, seconds] = told.stdout
      .replace(/\s+/g, ' ')
      .match(/1 fell: down-5-untold after (\d+\.\d\d) s, the hip sank/)!;
    const { stdout } = await striderule(['walk', 'scenario', 'down-5-untold', '--csv']);
    const rows = stdout.trim().split('\n');
    expect(rows[0]).toContain('time_s,place,mode,hip_height_m');
    expect(Math.abs(Number(rows.at(-1)!.split(',')[0]) - Number(seconds))).toBeLessThan(0.02);
  });

  test('off the level: how a hung leg follows, and the states from standing to sitting and back', async () => {
    const hung = await striderule(['walk', 'scenario', 'run-hung']);
    expect(hung.code).toBe(0);
    for (const told of ['off, RMS', 'at bus limit', 'nothing is told of ground'])
      expect(hung.stdout.replace(/\s+/g, ' ')).toContain(told);
    expect(hung.stdout).not.toMatch(/NaN|undefined|Infinity/);
    const chair = await striderule(['walk', 'scenario', 'chair']);
    expect(chair.code).toBe(0);
    expect(chair.stdout).toMatch(/lowering[\s\S]*sitting[\s\S]*rising[\s\S]*standing/);
    expect(chair.stdout).not.toMatch(/NaN|undefined|Infinity/);
  });

  test('names that are not there, and the log of more than one', async () => {
    const near = await striderule(['walk', 'scenario', 'step-51']);
    expect(near.code).toBe(2);
    expect(near.stderr).toContain('Did you mean "step-15"?');
    const many = await striderule(['walk', 'scenario', 'step-15', 'uneven', '--csv']);
    expect(many.code).toBe(2);
    expect(many.stderr).toContain('--csv prints the log of one walk, and 2 were asked for');
  });
});
