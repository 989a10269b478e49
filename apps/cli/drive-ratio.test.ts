import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { striderule } from './test-command.ts';

const { code, stdout } = await striderule(['drive', 'ratio', '--joint', 'ankle']);

describe('drive ratio', () => {
  test('verdict first, every requirement with its ratios, what is lacking, how it was judged, cautions', () => {
    expect(code).toBe(0);
    expect(stdout).toMatch(
      /^Most of what the study asks is met at: ankle \d+\.\d to \d+\.\d:1, \d+ of \d+\.\n/,
    );
    for (const told of [DEMO_MARK, 'ankle-torque', '← not where most are', 'counts as one', 'ethics board'])
      expect(stdout).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  test('--csv and --json tell the same ends as the table', async () => {
    const [line] = stdout.match(/^ *ankle-torque .*$/m)!;
    const ends = line
      .match(/(\d+\.\d) to (\d+\.\d)/)!
      .slice(1, 3)
      .map(Number);
    const { stdout: rows } = await striderule(['drive', 'ratio', '--joint', 'ankle', '--csv']);
    const row = rows
      .split('\n')
      .find((each) => each.startsWith('ankle,ankle-torque,'))!
      .split(',');
    expect(row.slice(6, 8).map(Number)).toEqual(ends);
    const { stdout: text } = await striderule(['drive', 'ratio', '--joint', 'ankle', '--json']);
    const told = JSON.parse(text).joints.ankle;
    expect(
      told.requirements.find((r: { requirement: { id: string } }) => r.requirement.id === 'ankle-torque')
        .windows,
    ).toEqual([ends]);
    expect(told.most.met + told.most.lacking.length).toBe(told.requirements.length);
  });

  test('a joint that the leg does not drive, two forms at once: said', async () => {
    expect((await striderule(['drive', 'ratio', '--joint', 'hip'])).code).toBe(2);
    expect((await striderule(['drive', 'ratio', '--csv', '--json'])).code).toBe(2);
  });
});
