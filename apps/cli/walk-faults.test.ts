import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { striderule } from './test-command.ts';

const COARSE = ['walk', 'faults', '--speed', '1.1m/s', '--every', '50'];

describe('walk faults', () => {
  test('one line first, then a picture of the stride, hazards that name a fault, what a stumble is, cautions', async () => {
    const { code, stdout, stderr } = await striderule(COARSE);
    expect(code).toBe(0);
    const said = stdout.replace(/\s+/g, ' ');
    const [, all, survived, stumbled, fell] = said
      .match(/^Of (\d+) faults set off (\d+) are survived, (\d+) stumble and (\d+) fall/)!
      .map(Number);
    expect(survived! + stumbled! + fell!).toBe(all);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'knee angle missing',
      'knee-lost',
      'collapse: power-lost survived',
      'nobody catches himself here',
      'ethics board',
    ])
      expect(said).toContain(told);
    expect(said).not.toMatch(/NaN|undefined|null|Infinity/);
    expect(stderr).toContain('Breaking it 100 %');
  });

  test('--json and --csv tell every trial alike', async () => {
    const { stdout } = await striderule([...COARSE, '--json']);
    const [map] = JSON.parse(stdout).maps;
    const rows = (await striderule([...COARSE, '--csv'])).stdout.trim().split('\n').slice(1);
    const told = map.faults.flatMap((fault: { id: string; trials: { place: number; outcome: string }[] }) =>
      fault.trials.map((trial) => `1.1,${fault.id},${trial.place},${trial.outcome}`),
    );
    expect(told.length).toBe(rows.length);
    for (const [i, row] of rows.entries()) expect(row.startsWith(told[i]!)).toBe(true);
  });

  test('words and numbers it does not take', async () => {
    for (const [words, told] of [
      [['--every', '7'], '--every 7 does not part the stride evenly'],
      [['--every', '0'], '--every 0 does not part the stride evenly'],
    ] as const) {
      const { code, stderr } = await striderule(['walk', 'faults', ...words]);
      expect(code).toBe(2);
      expect(stderr).toContain(told);
    }
    const slow = await striderule(['walk', 'faults', '--speed', '0.3m/s']);
    expect(slow.code).toBe(1);
    expect(slow.stderr).toContain('No fault map at 0.3 m/s: 0.3 m/s is outside');
  });
});
