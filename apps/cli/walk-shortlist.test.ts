import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import {
  candidateStudy,
  evaluateDesign,
  leastMargin,
  rankedShortlist,
  ratioScan,
  shortlistCandidates,
  walkCandidate,
  walkReport,
} from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, start, striderule } from './test-command.ts';
import { walkInPool } from './walk-pool.ts';

const { input } = await openStudy(DEMO_STUDY);
const SHORT = ['walk', 'shortlist', '--margin', '0', '--strides', '6', '--step', '0.5ms'];
const LENGTH = { step: 5e-4, strides: 6 };
const resultsOf = (study: string): string[] => {
  const folder = path.join(study, 'results/walk-shortlist');
  try {
    return readdirSync(folder).map((name) => path.join(folder, name));
  } catch {
    return [];
  }
};
const inFile = (file: string): string => readFileSync(file, 'utf8');

describe('walk shortlist', () => {
  test('one thread and two print the same bytes, and keep the same; a second run walks nothing and prints them again', async () => {
    const [one, two] = [copyOfDemo(), copyOfDemo()];
    const args = [...SHORT, '--ratios', '16', '--json'];
    const first = await striderule([...args, '--workers', '1', '--study', one]);
    const second = await striderule([...args, '--workers', '2', '--study', two]);
    expect(first.code, first.stderr).toBe(0);
    expect(second.stdout).toBe(first.stdout);
    const { shortlist, demo } = JSON.parse(first.stdout);
    // the leg as it stands, and 16:1 at both joints
    expect(shortlist).toHaveLength(2);
    expect(shortlist.filter(({ candidate }: { candidate: { own: boolean } }) => candidate.own)).toHaveLength(
      1,
    );
    expect(demo).toBe(true);
    const contents = (study: string) => resultsOf(study).map(inFile).toSorted();
    expect(contents(one)).toHaveLength(2);
    expect(contents(two)).toEqual(contents(one));
    expect(first.stderr).toMatch(/Walking 100 % +2 of 2/);

    const again = await striderule([...args, '--study', one]);
    expect(again.stdout).toBe(first.stdout);
    expect(again.stderr).toContain('2 of 2 were walked before.');
    expect(again.stderr).not.toContain('Walking');

    // each is what the engine walks in this very thread
    for (const { candidate, walk } of shortlist)
      expect(walk).toEqual(asJson(walkCandidate(input, candidate, { speed: 1.1 }, LENGTH)));
  });

  test('stopped at once by Ctrl-C it keeps what is done, and the same command goes on to what one go gives', async () => {
    const [stopped, whole] = [copyOfDemo(), copyOfDemo()];
    const args = [...SHORT, '--ratios', '9,16,22', '--workers', '2', '--json'];
    const { child, ended } = start([...args, '--study', stopped], stopped);
    while (resultsOf(stopped).filter((name) => name.endsWith('.json')).length < 2 && child.exitCode === null)
      await new Promise((resolve) => setTimeout(resolve, 10));
    child.kill('SIGINT');
    const cut = await ended;
    expect(cut.code).toBe(130);
    expect(cut.stdout).toBe('');
    const [, done] = /Stopped\. (\d+) of 9 are walked; the same command goes on from there\./.exec(
      cut.stderr,
    )!;
    expect(Number(done)).toBeGreaterThanOrEqual(2);
    expect(Number(done)).toBeLessThan(9);
    // whole results only, and no half-written ones beside them
    expect(resultsOf(stopped)).toHaveLength(Number(done));

    const on = await striderule([...args, '--study', stopped]);
    expect(on.stderr).toContain(`${done} of 9 were walked before.`);
    const once = await striderule([...args, '--study', whole]);
    expect(on.stdout).toBe(once.stdout);
  }, 120_000);

  test('a result that was changed is walked anew, and another step is another walk', async () => {
    const study = copyOfDemo();
    const args = [...SHORT, '--ratios', '22', '--json', '--study', study];
    const first = await striderule(args);
    const [file] = resultsOf(study) as [string];
    writeFileSync(file, inFile(file).replace(/"hip":\d/, '"hip":9'));
    const again = await striderule(args);
    expect(again.stderr).toMatch(/is broken \(its value was changed after it was made\) and is not used/);
    expect(again.stdout).toBe(first.stdout);
    const finer = await striderule([...args, '--step', '0.25ms']);
    expect(finer.stdout).not.toBe(first.stdout);
    expect(resultsOf(study)).toHaveLength(2);
  });

  test('one line first, the ranked table, what was not walked, demo mark, cautions', async () => {
    const { code, stdout } = await striderule([
      ...SHORT,
      '--ratios',
      '16',
      '--by',
      'heat',
      '--study',
      copyOfDemo(),
    ]);
    expect(code).toBe(0);
    const said = stdout.replace(/\s+/g, ' ');
    expect(said).toMatch(
      /^2 of 2 walked; first by heat: knee SR-F92-14 .* J a stride at the hip; the leg as it stands is \d\./,
    );
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'at unchanged thigh motion, by heat; length of the stride: not predicted',
      'Gears are the leg file’s at every ratio',
      'ethics board',
    ])
      expect(said).toContain(told);
    expect(said).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  test.each([
    [['--ratios', '22,x'], '--ratios "x" is no ratio'],
    [['--workers', '0'], '--workers is a whole number from 1 to 64, not "0"'],
    [['--strides', '3'], '--strides is a whole number from 6 to 10000, not "3"'],
    [['--by', 'weight'], '--by "weight" is not in this study'],
    [['--motors', 'SR-F92-15'], 'Did you mean "SR-F92-14"?'],
  ])('%s is refused in words', async (args, words) => {
    const { code, stderr } = await striderule(['walk', 'shortlist', ...args, '--study', copyOfDemo()]);
    expect(code).toBe(2);
    expect(stderr).toContain(words);
  });

  test('a leg that cannot walk, and a step that does not fit, are said once and nothing is walked', async () => {
    const study = copyOfDemo();
    const passive = await striderule([...SHORT, '--legs', 'passive', '--study', study]);
    expect(passive.code).toBe(1);
    expect(passive.stderr).toContain('The leg has no knee drive');
    const odd = await striderule(['walk', 'shortlist', '--step', '0.3ms', '--study', study]);
    expect(odd.code).toBe(1);
    expect(odd.stderr).toMatch(/0\.3 ms/);
    expect(resultsOf(study)).toHaveLength(0);
  });
});

describe('the pool', () => {
  const joint = (ratio: number) => ({ motor: 'SR-F92-14', ratio, margin: 1, limit: 'torque', at: 'nowhere' });
  const task = (knee: number, motor = 'SR-F92-14') => ({
    study: 0,
    candidate: { knee: { ...joint(knee), motor }, ankle: joint(22) },
  });
  const work = { studies: [input], choice: { speed: 1.1 }, length: LENGTH };
  const never = new AbortController().signal;

  test('a fault in a thread reaches the user in words, with the candidate it befell', async () => {
    const failing = walkInPool(work, [task(22), task(22, 'SR-F92-99')], {
      workers: 2,
      signal: never,
      done: () => {},
    });
    await expect(failing).rejects.toThrow(
      'The walk of knee SR-F92-99 at 22:1, ankle SR-F92-14 at 22:1 failed: There is no motor `SR-F92-99` in the catalogue',
    );
  });

  test('a thread that is lost is told, and nothing is waited for', async () => {
    const lost = {
      ...work,
      studies: [
        {
          get leg(): never {
            throw new Error('cannot be sent');
          },
        },
      ] as never,
    };
    await expect(walkInPool(lost, [task(22)], { workers: 1, signal: never, done: () => {} })).rejects.toThrow(
      'cannot be sent',
    );
  });

  test('an abort ends it at once, in the middle of a walk', async () => {
    const stop = new AbortController();
    const long = { ...work, length: { step: 5e-5, strides: 10_000 } };
    const walking = walkInPool(long, [task(22), task(20)], {
      workers: 2,
      signal: stop.signal,
      done: () => {},
    });
    setTimeout(() => stop.abort(), 500);
    await expect(walking).rejects.toThrow(expect.objectContaining({ name: 'AbortError' }));
  });

  test('nothing to walk is done', async () => {
    await walkInPool(work, [], { workers: 2, signal: never, done: () => {} });
  });
});

describe('candidates', () => {
  test('the leg as it stands first, then every pair that the ratio scan lets through', () => {
    const [own, ...others] = shortlistCandidates(input, 'tern', { ratios: [20, 22, 24, 26, 36] });
    expect(own).toMatchObject({ own: true, knee: { ratio: 22 }, ankle: { ratio: 22 } });
    const design = evaluateDesign(input);
    const carries = (at: 'knee' | 'ankle') =>
      ratioScan(input, design, at, { ratios: [20, 22, 24, 26, 36] }).candidates.flatMap((each) =>
        each.carries ? [each.ratio] : [],
      );
    expect(others.map(({ knee, ankle }) => [knee.ratio, ankle.ratio])).toEqual(
      carries('knee').flatMap((k) => carries('ankle').map((a) => [k, a])),
    );
    expect(others.length).toBeGreaterThan(0);
    expect(others.every((each) => leastMargin(each) >= 1)).toBe(true);
  });

  test('a candidate is the leg with its motors and ratios, and nothing else; the leg as it stands is the study', () => {
    const [own] = shortlistCandidates(input, 'tern', { ratios: [] });
    expect(candidateStudy(input, own!)).toEqual(input);
    const other = candidateStudy(input, {
      knee: { ...own!.knee, motor: 'SR-F92-22', ratio: 16 },
      ankle: own!.ankle,
    });
    expect(other.leg.joints.knee!.motor.name).toBe('SR-F92-22');
    expect(other.leg.joints.knee!.transmission).toEqual({
      ...input.leg.joints.knee!.transmission,
      ratio: 16,
    });
    expect(other.leg.joints.ankle).toEqual(input.leg.joints.ankle);
    expect(other.leg.segments).toBe(input.leg.segments);
  });

  test('its numbers are the means of the last half of the strides that walk run tells', () => {
    const [own] = shortlistCandidates(input, 'tern', { ratios: [] });
    const { led } = walkCandidate(input, own!, { speed: 1.1 }, LENGTH);
    const report = walkReport(input, { speed: 1.1, thigh: 'led' }, LENGTH);
    if ('openBecause' in report || 'openBecause' in led) throw new Error('it walks');
    const last = report.strides.slice(-3);
    expect(led.hip).toBeCloseTo(last.reduce((sum, { hip }) => sum + hip.positiveWork, 0) / 3, 12);
    expect(led.copper).toBeCloseTo(
      last.reduce((sum, { knee, ankle }) => sum + knee.copper + ankle.copper, 0) / 3,
      12,
    );
  });

  test('ranked by the worse end; what was not walked comes last, equals stay in order', () => {
    const end = (hip: number, copper: number) => ({ hip, pullOff: 0, copper, cells: 0, audit: 0 });
    const row = (
      leg: string,
      margin: number,
      prescribed: ReturnType<typeof end> | { openBecause: string },
      led = end(0, 0),
    ) => ({
      candidate: {
        leg,
        own: false,
        knee: { motor: 'm', ratio: 1, margin, limit: '', at: '' },
        ankle: { motor: 'm', ratio: 1, margin: 9, limit: '', at: '' },
      },
      walk: { prescribed, led },
    });
    const rows = [
      row('fell', 9, { openBecause: 'after 1.0 s the hip sank' }),
      row('a', 1, end(20, 5), end(10, 9)),
      row('b', 3, end(10, 5), end(15, 5)),
      row('c', 2, end(20, 8)),
    ];
    const order = (by: 'hip' | 'heat' | 'margin') =>
      rankedShortlist(rows, by)
        .map(({ candidate }) => candidate.leg)
        .join(' ');
    expect(order('hip')).toBe('b a c fell');
    expect(order('heat')).toBe('b c a fell');
    expect(order('margin')).toBe('b c a fell');
  });
});
