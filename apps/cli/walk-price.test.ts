import { openWalkPrice, walkLevers, withPrices } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, start, striderule } from './test-command.ts';

const SHORT = ['walk', 'price', '--strides', '6', '--step', '0.5ms', '--study', DEMO_STUDY];

describe('walk price', () => {
  test('one line first, then the list, what has no price and why, bench tests, cautions', async () => {
    const { code, stdout, stderr } = await striderule([
      ...SHORT,
      '--of',
      'foot,knee: torque constant,breakaway',
    ]);
    expect(code, stderr).toBe(0);
    const said = stdout.replace(/\s+/g, ' ');
    expect(said).toMatch(
      /^The hip gives \d+\.\d J a stride with the thigh prescribed and \d+\.\d J with the thigh led; of all that was moved, mass at the foot’s centre moves that most, by \d\.\d\d J for 1\.0 × 100 g; of the bench tests, knee: back-EMF of the spun motor narrows it most\./,
    );
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'at unchanged thigh motion; length of the stride: not predicted',
      'No price, moves hip work by less than its strides differ:',
      'of 6 strides the last 3 are counted',
      'Software is fitted to each changed leg',
      'ethics board',
    ])
      expect(said).toContain(told);
    expect(said).not.toMatch(/NaN|undefined|null|Infinity/);
    expect(stderr).toContain('Pricing 100 %');
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule([...SHORT, '--of', 'ankle: ratio', '--speed', '0.8m/s', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const levers = walkLevers(input).filter(({ title }) => title.includes('ankle: ratio'));
    const run = openWalkPrice(input, { speed: 0.8 }, { step: 5e-4, strides: 6 }, levers);
    if ('openBecause' in run) throw new Error(run.openBecause);
    const price = withPrices(run.planned, [run.at(0)]);
    expect(JSON.parse(stdout).price).toEqual(asJson(price));
    expect(price.prices.map(({ lever }) => lever.id)).toEqual(['joints.ankle.transmission.ratio']);
  });

  test('Ctrl-C stops it', async () => {
    const { child, ended } = start([...SHORT, '--of', 'ratio'], DEMO_STUDY);
    child.stderr!.once('data', () => child.kill('SIGINT'));
    const { code, stdout } = await ended;
    expect(code).toBe(130);
    expect(stdout).toBe('');
  });

  test.each([
    [['--of', 'paint'], 2, '--of "paint": nothing that is priced has this in its name'],
    [['--strides', '3'], 1, 'A price is read off steady strides, and a walk of 3 has none. Walk at least 6.'],
    [['--speed', '9m/s'], 1, 'No walk at 9 m/s'],
  ])('%s is refused in words', async (args, exit, words) => {
    const { code, stderr } = await striderule([...SHORT, ...args]);
    expect(stderr).toContain(words);
    expect(code).toBe(exit);
  });
});
