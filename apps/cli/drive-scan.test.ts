import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { evaluateDesign, RATIOS, ratioScan } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, start, striderule } from './test-command.ts';

describe('drive scan', () => {
  test('verdict first, ratios with costs, tasks, near misses, heat, optimum, gears, cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'scan', '--joint', 'ankle']);
    expect(code).toBe(0);
    expect(stdout).toMatch(
      /^Smallest ratio that carries every covered task: ankle \d\d\.\d:1, tightest (torque|speed), [a-z0-9-]+\.\n/,
    );
    for (const told of [
      DEMO_MARK,
      '← smallest',
      '← the leg',
      'limit ÷ need task by task',
      'nearest that fail: ',
      'ankle, heat: ',
      'not the choice',
      'The same gears at every ratio',
      'The bus sags from 44.4 V behind 0.120 Ω',
      'ethics board',
    ])
      expect(stdout).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  test('every motor: each at its smallest ratio or with what it lacks; progress apart from the data', async () => {
    const { code, stdout, stderr } = await striderule([
      'drive',
      'scan',
      '--joint',
      'knee',
      '--motors',
      'all',
    ]);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Smallest ratio .*: knee \d\d\.\d:1 with SR-F\d\d-\d\d, /);
    expect(stdout).toContain('SR-F92-14 (the leg’s)');
    expect(stdout).toMatch(/SR-F44-08 +none /);
    expect(stderr).toContain('Scanning 100 %');
    expect(stdout).not.toMatch(/NaN|undefined|null|Infinity|Scanning/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['drive', 'scan', '--joint', 'knee', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const { scans } = JSON.parse(stdout).joints.knee;
    const own = input.leg.joints.knee!.transmission.ratio;
    expect(scans).toEqual([
      asJson(
        ratioScan(input, evaluateDesign(input), 'knee', { motor: 'SR-F92-14', ratios: [...RATIOS, own] }),
      ),
    ]);
  });

  test('--csv: one row each motor and ratio, between the ends asked for', async () => {
    const { stdout } = await striderule(['drive', 'scan', '--from', '9', '--to', '50', '--csv']);
    const [head, ...rows] = stdout
      .trimEnd()
      .split('\n')
      .map((row) => row.split(','));
    expect(head!.slice(0, 5)).toEqual(['joint', 'motor', 'ratio', 'carries', 'margin']);
    // 25 ratios of one factor, the leg's, and the smallest that carries
    expect(rows).toHaveLength(2 * 27);
    const ratios = rows.filter(([joint]) => joint === 'knee').map(([, , ratio]) => Number(ratio));
    expect(ratios[0]).toBeCloseTo(9, 9);
    expect(ratios.at(-1)).toBeCloseTo(50, 9);
    expect(ratios).toEqual([...ratios].sort((a, b) => a - b));
    for (const row of rows) {
      expect(row).toHaveLength(head!.length);
      expect(row[3] === 'yes').toBe(Number(row[4]) >= 1);
    }
  });

  test('a ratio that is none, ends the wrong way round, a motor that nobody knows', async () => {
    const said = async (...options: string[]): Promise<string> => {
      const { code, stderr } = await striderule(['drive', 'scan', '--study', DEMO_STUDY, ...options]);
      expect(code).toBe(2);
      return stderr.trimEnd();
    };
    const [none, turned, unknown] = await Promise.all([
      said('--from', 'nine'),
      said('--from', '50', '--to', '9'),
      said('--motors', 'SR-F92-41'),
    ]);
    expect(none).toBe(
      '--from "nine" is no ratio. Give motor speed ÷ joint speed, 1 or more, such as --from 9 --to 50.',
    );
    expect(turned).toBe(
      'there is no ratio from 50 to 9. Give the smaller one with --from, the larger one with --to.',
    );
    expect(unknown).toMatch(/^--motors "SR-F92-41" is not in this study\. Did you mean "SR-F92-14"\?/);
  });

  test('Ctrl-C in a long scan: nothing on standard output', async () => {
    const folder = copyOfDemo();
    const [demo] = readFileSync(path.join(folder, 'motors/demo.csv'), 'utf8').split('SR-F44-08');
    const row =
      ',20,4.949,65.79,49.07,49.07,0.0002148,56.42,2.379,0.497,0.05,0.00012,0.05,-0.11,0.1509,2.541,68.98,270.7,120';
    const many = Array.from({ length: 600 }, (_, k) => `many-${k}${row}`);
    writeFileSync(path.join(folder, 'motors/many.csv'), `${demo}${many.join('\n')}\n`);
    const { child, ended } = start(
      ['drive', 'scan', '--study', folder, '--joint', 'knee', '--motors', 'all'],
      folder,
    );
    await new Promise<void>((resolve) => {
      child.stderr!.on('data', (text: string) => {
        if (text.includes('Scanning 10 %')) resolve();
      });
      child.on('exit', () => resolve());
    });
    child.kill('SIGINT');
    const { code, stdout, stderr } = await ended;
    expect({ code, stdout }).toEqual({ code: 130, stdout: '' });
    expect(stderr).toContain('Stopped; nothing was changed.');
  });

  test('a leg that drives no joint', async () => {
    const { code, stdout } = await striderule(['drive', 'scan', '--leg', 'passive']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^This leg drives no joint: there is no ratio to choose\./);
  });
});
