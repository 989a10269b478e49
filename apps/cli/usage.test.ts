import { describe, expect, test } from 'vitest';
import { striderule } from './test-command.ts';

const { COMMANDS }: { COMMANDS: Record<string, { readonly verbs: object }> } = await import(
  './commands.mjs' as string
);

describe('help', () => {
  test('without a word, and with --help: what there is, how to begin, the exit codes', async () => {
    const bare = await striderule([]);
    expect(bare).toEqual(await striderule(['--help']));
    expect(bare.code).toBe(0);
    for (const told of [
      'demand show',
      'evidence ledger',
      'Begin with',
      'Exit codes',
      '130  stopped by Ctrl-C',
      'Not a medical device',
    ]) {
      expect(bare.stdout).toContain(told);
    }
    expect(bare.stderr).toBe('');
  });

  test.each([
    ...Object.keys(COMMANDS).map((stage) => [stage]),
    ...Object.entries(COMMANDS).flatMap(([stage, { verbs }]) =>
      Object.keys(verbs).map((verb) => [stage, verb]),
    ),
  ])('%s %s --help teaches with examples', async (...words) => {
    const { code, stdout, stderr } = await striderule([
      ...words.filter((word) => word !== undefined),
      '--help',
    ]);
    expect(code).toBe(0);
    expect(stderr).toBe('');
    expect(stdout).toMatch(/^Examples$/m);
    expect(Math.max(...stdout.split('\n').map((line) => line.length))).toBeLessThanOrEqual(130);
  });

  test('striderule help demand show is the same as --help', async () => {
    expect(await striderule(['help', 'demand', 'show'])).toEqual(
      await striderule(['demand', 'show', '--help']),
    );
  });

  test('--version names the version', async () => {
    expect((await striderule(['--version'])).stdout).toMatch(/^striderule \d+\.\d+\.\d+\n$/);
  });
});

describe('what is not understood ends with 2, says what is near, prints no data', () => {
  test.each([
    [['demnd', 'show'], 'there is no stage "demnd". Did you mean "demand"?'],
    [
      ['gearset', 'show'],
      'there is no stage "gearset". There is: demand, drive, control, walk, evidence, study.',
    ],
    [['demand'], '"demand" needs a verb: show, import.'],
    [['demand', 'shwo'], '"demand" has no verb "shwo". Did you mean "show"?'],
    [['demand', 'show', '--taks', 'x'], '"demand show" has no option --taks. Did you mean "--task"?'],
    [['demand', 'show', 'extra'], '"extra" is one word too many.'],
    [['demand', 'show', '--task'], "Option '--task <value>' argument missing."],
    [['drive', 'tolerance', '--seed', '--json'], '--seed needs a value before the next option.'],
    [
      ['drive', 'tolerance', '--seed', '-1'],
      '--seed is a whole number from 0 to 2147483647, not "-1". Leave it out for 1.',
    ],
    [['drive', 'tolerance', '--draws', '-20'], '--draws is a whole number from 1 to 1000000, not "-20".'],
    [['drive', 'bandwidth', '--stiffness', '-600N*m/rad'], '--stiffness "-600N*m/rad" is not above zero.'],
    [['control', 'impedance', '--filter', '-.5Hz'], '--filter "-.5Hz" is not above zero.'],
    [['drive', 'assist', '--share', '-0.3'], '--share is a part of the human moment, 0 to 1, not "-0.3".'],
    [['drive', 'scan', '--from', '-9'], '--from "-9" is no ratio.'],
    [['demand', 'show', '--task', 'walk-natural', '--at', '-5'], '--at "-5" is no instant of the stride.'],
    [['demand', 'import', 'a.csv'], '"demand import" needs --recipe and --id.'],
    [['demand', 'import', '--recipe', 'r.yaml', '--id', 'x'], '"demand import" needs the CSV file.'],
    [['study', 'new'], '"study new" needs the new folder.'],
    [
      ['demand', 'show', '--task', 'walk-naturl'],
      '--task "walk-naturl" is not in this study. Did you mean "walk-natural"?',
    ],
    [['demand', 'show', '--joint', 'ancle'], '--joint "ancle" is not in this study. Did you mean "ankle"?'],
    [['demand', 'show', '--at', '46'], '--at needs one stride to stand in. Name it with --task'],
    [
      ['demand', 'show', '--task', 'walk-natural', '--at', '46.3'],
      '--at "46.3" is no instant of the stride.',
    ],
    [['demand', 'show', '--task', 'stand', '--csv'], 'task stand has no curve over the stride.'],
    [['demand', 'show', '--json', '--csv'], '--json and --csv exclude one another. Choose one.'],
    [['evidence', 'ledger', '--why', 'nothing-like-it'], '--why "nothing-like-it" is not in this study.'],
    [['study', 'check', 'a', '--study', 'b'], '"a" and --study b both name a study. Name it once.'],
  ])('%j', async (args, text) => {
    const { code, stdout, stderr } = await striderule(args);
    expect(stderr).toContain(text);
    expect(stdout).toBe('');
    expect(code).toBe(2);
  });
});
