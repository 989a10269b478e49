import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { copyOfDemo, striderule } from './test-command.ts';

const made = mkdtempSync(path.join(tmpdir(), 'striderule-replay-'));
afterAll(() => rmSync(made, { recursive: true, force: true }));
const flat = (text: string): string => text.replace(/\s+/g, ' ');
const folder = path.join(made, 'out');

/** The demo study with one text of its controller replaced. */
function changed(from: string, to: string): string {
  const study = copyOfDemo();
  const file = path.join(study, 'controllers/tern.yaml');
  const text = readFileSync(file, 'utf8');
  expect(text).toContain(from);
  writeFileSync(file, text.replace(from, to));
  return study;
}

describe('control export and control replay', () => {
  test('seven files, both fingerprints, how to compile, demo mark and cautions', async () => {
    const { code, stdout } = await striderule(['control', 'export', '--out', folder, '--ticks', '6000']);
    expect(code).toBe(0);
    expect(flat(stdout)).toMatch(/^Controller tern, [0-9a-f]{12}, build [0-9a-f]{12}: 7 files in /);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of ['cc -std=c99', 'export again', 'ethics board']) expect(flat(stdout)).toContain(told);
    expect(readFileSync(path.join(folder, 'README.md'), 'utf8')).toContain('DEMO DATA');
  });

  test('a controller that is not sound is not handed over; nothing is written', async () => {
    const study = changed('from: [standing, stance, lowering', 'from: [standing, lowering');
    const out = path.join(made, 'trap');
    const { code, stderr } = await striderule(['control', 'export', '--study', study, '--out', out]);
    expect(code).toBe(1);
    expect(stderr).toContain('cannot be left unloaded');
    expect(() => readFileSync(path.join(out, 'README.md'))).toThrow();
  });

  test('no folder, no whole number', async () => {
    expect((await striderule(['control', 'export'])).stderr).toContain('Add --out');
    const odd = await striderule(['control', 'export', '--out', path.join(made, 'x'), '--ticks', '1.5']);
    expect(odd.code).toBe(2);
    expect(odd.stderr).toContain('no whole number');
  });

  test('the same controller does the same; its log is known by its fingerprints', async () => {
    const { code, stdout } = await striderule(['control', 'replay', path.join(folder, 'vectors.csv')]);
    expect(code).toBe(0);
    expect(flat(stdout)).toMatch(
      /^Controller tern, [0-9a-f]{12}, does the same as the log in all 6000 ticks\./,
    );
    expect(flat(stdout)).toMatch(
      /The log’s controller [0-9a-f]{12} is this one\..*The log’s build [0-9a-f]{12} is this one\./,
    );
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('another version: the first difference with its time, in words and as data', async () => {
    const study = changed(
      'to: stance, when: { load: { above: 8 % }, thigh: { below: -5 deg }, thighRate: { below: -20 deg/s } }, hold: 50 ms',
      'to: stance, when: { load: { above: 8 % }, thigh: { below: -5 deg }, thighRate: { below: -20 deg/s } }, hold: 90 ms',
    );
    const { code, stdout } = await striderule([
      'control',
      'replay',
      path.join(folder, 'vectors.csv'),
      '--study',
      study,
    ]);
    expect(code).toBe(0);
    expect(flat(stdout)).toMatch(
      /^Controller tern, [0-9a-f]{12}, first differs at [\d.]+ s, tick \d+: state was stance, is standing\./,
    );
    expect(flat(stdout)).toContain('another version');
    const data = JSON.parse(
      (await striderule(['control', 'replay', path.join(folder, 'vectors.csv'), '--study', study, '--json']))
        .stdout,
    );
    const { first } = data.replay;
    // the very row of the log in which it entered the state
    const rows = readFileSync(path.join(folder, 'vectors.csv'), 'utf8')
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#'))
      .slice(1);
    const state = (k: number): number => Number(rows[k]!.split(',')[15]);
    expect([state(first.tick - 1), state(first.tick)]).toEqual([0, 1]);
    expect(first.time).toBeCloseTo(first.tick * 1e-3, 6);
  });

  test('a log from before second encoders were read is run without them, and that is said', async () => {
    const old = path.join(made, 'old.csv');
    const lines = readFileSync(path.join(folder, 'vectors.csv'), 'utf8').split('\n');
    // the two columns stand after `release`, the eleventh and twelfth
    const short = lines.map((line) =>
      line.startsWith('#')
        ? line
        : line
            .split(',')
            .filter((_, i) => i !== 10 && i !== 11)
            .join(','),
    );
    expect(lines.find((line) => line.startsWith('thigh'))).toContain(
      'release,knee_second_rad,ankle_second_rad,',
    );
    writeFileSync(old, short.join('\n'));
    const { code, stdout } = await striderule(['control', 'replay', old]);
    expect(code).toBe(0);
    expect(flat(stdout)).toContain(
      'The log has no `knee_second_rad`, `ankle_second_rad`: they are taken as no numbers, and what watches them finds nothing or that they are missing.',
    );
  });

  test('another wearer is another build; a log at another period is refused', async () => {
    const study = copyOfDemo();
    const wearer = path.join(study, 'wearers/w01.yaml');
    writeFileSync(wearer, readFileSync(wearer, 'utf8').replace(/82(\.0)? kg/, '88 kg'));
    const { stdout } = await striderule([
      'control',
      'replay',
      path.join(folder, 'vectors.csv'),
      '--study',
      study,
    ]);
    expect(flat(stdout)).toMatch(
      /The log’s controller [0-9a-f]{12} is this one\..*The log’s build is [0-9a-f]{12}, this one [0-9a-f]{12}: another version/,
    );
    const slow = path.join(made, 'slow.csv');
    writeFileSync(
      slow,
      readFileSync(path.join(folder, 'vectors.csv'), 'utf8').replace('period_s: 0.001', 'period_s: 0.002'),
    );
    const refused = await striderule(['control', 'replay', slow]);
    expect(refused.code).toBe(1);
    expect(flat(refused.stderr)).toContain('has a row each 2 ms, the controller runs each 1 ms');
  });
});
