import { chmodSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { copyOfDemo, striderule, temporaryFolder } from './test-command.ts';

describe('studies', () => {
  test('study new, then check and ledger inside it without naming it', async () => {
    const place = temporaryFolder();
    const fresh = await striderule(['study', 'new', 'my-leg'], place);
    expect(fresh.code).toBe(0);
    expect(fresh.stdout).toContain('DEMO DATA until you replace it');
    const folder = path.join(place, 'my-leg');
    expect(existsSync(path.join(folder, 'study.yaml'))).toBe(true);

    const check = await striderule(['study', 'check'], path.join(folder, 'legs'));
    expect(check).toMatchObject({ code: 0, stdout: 'my-leg: no fault.\n', stderr: '' });
    const ledger = await striderule(['evidence', 'ledger', '--kept'], folder);
    expect(ledger.code).toBe(0);
    expect(ledger.stdout).toContain('Study my-leg:');
    expect(ledger.stdout).toContain(DEMO_MARK);
    expect(ledger.stderr).toBe('');
  });

  test('study new refuses a folder that has something in it', async () => {
    const place = temporaryFolder();
    writeFileSync(path.join(place, 'mine.txt'), 'mine');
    const { code, stdout, stderr } = await striderule(['study', 'new', place]);
    expect({ code, stdout }).toEqual({ code: 1, stdout: '' });
    expect(stderr).toContain('already has something in it, and nothing there is overwritten');
    expect(readdirSync(place)).toEqual(['mine.txt']);
  });

  test('study new where nothing may be written says so and leaves nothing', async () => {
    const place = temporaryFolder();
    chmodSync(place, 0o555);
    // root may write anywhere but in the kernel's own folders
    const target = process.getuid?.() === 0 ? '/proc/my-leg' : path.join(place, 'my-leg');
    const { code, stdout, stderr } = await striderule(['study', 'new', target]);
    chmodSync(place, 0o755);
    expect({ code, stdout }).toEqual({ code: 1, stdout: '' });
    expect(stderr).toContain(target);
    expect(stderr).toMatch(/there is no folder|nothing may be written/);
    expect(readdirSync(place)).toEqual([]);
  });

  test('reading commands need no right to write, and write nothing', async () => {
    const folder = copyOfDemo();
    const before = readdirSync(folder, { recursive: true }).sort();
    chmodSync(folder, 0o555);
    const { code } = await striderule(['evidence', 'ledger', '--kept', '--study', folder]);
    chmodSync(folder, 0o755);
    expect(code).toBe(0);
    expect(readdirSync(folder, { recursive: true }).sort()).toEqual(before);
  });

  test('no study at the place named', async () => {
    const place = temporaryFolder();
    const { code, stdout, stderr } = await striderule([
      'evidence',
      'ledger',
      '--study',
      path.join(place, 'nowhere'),
    ]);
    expect({ code, stdout }).toEqual({ code: 1, stdout: '' });
    expect(stderr).toContain(`there is no study.yaml in ${path.join(place, 'nowhere')}. Correct the path`);
  });

  test('a broken file: file, line, column, the line itself and a caret; every fault, not the first', async () => {
    const folder = copyOfDemo();
    const name = path.join(folder, 'legs/tern.yaml');
    const lines = readFileSync(name, 'utf8').split('\n');
    const ratios = lines.flatMap((line, k) => (/^\s*ratio:/.test(line) ? [k] : []));
    expect(ratios.length).toBeGreaterThan(0);
    for (const k of ratios) lines[k] = lines[k]!.replace(/ratio:.*/, 'ratio: 0');
    writeFileSync(name, lines.join('\n'));

    const check = await striderule(['study', 'check', folder]);
    expect(check.code).toBe(1);
    expect(check.stdout).toMatch(/^tern: \d+ faults?\.$/m);
    for (const k of ratios) {
      const column = lines[k]!.indexOf('0') + 1;
      expect(check.stdout).toContain(`legs/tern.yaml:${k + 1}:${column}`);
      expect(check.stdout).toContain(`\n  ${lines[k]}\n  ${' '.repeat(column - 1)}^`);
    }

    const data = JSON.parse((await striderule(['study', 'check', folder, '--json'])).stdout);
    expect(data.faults.length).toBeGreaterThanOrEqual(ratios.length);

    const ledger = await striderule(['evidence', 'ledger', '--study', folder, '--json']);
    expect({ code: ledger.code, stdout: ledger.stdout }).toEqual({ code: 1, stdout: '' });
    expect(ledger.stderr).toContain(`legs/tern.yaml:${ratios[0]! + 1}:`);
  });
});

describe('study migrate', () => {
  test('a folder of an older format: check says so, migrate mends it and keeps the originals', async () => {
    const folder = copyOfDemo();
    const write = (name: string, from: RegExp, to: string): void => {
      const text = readFileSync(path.join(folder, name), 'utf8');
      expect(text).toMatch(from);
      writeFileSync(path.join(folder, name), text.replace(from, to));
    };
    write('study.yaml', /^format: 2$/m, 'format: 1 # first draft');
    write('wearers/w01.yaml', /massWithoutDevice/, 'mass');
    const before = readFileSync(path.join(folder, 'wearers/w01.yaml'), 'utf8');

    const old = await striderule(['study', 'check', folder]);
    expect(old.code).toBe(1);
    expect(old.stdout).toContain('Run `striderule study migrate`');

    const { code, stdout } = await striderule(['study', 'migrate', folder]);
    expect(code).toBe(0);
    expect(stdout).toContain('tern: format 1 → 2, 2 files changed.');
    expect(readFileSync(path.join(folder, 'study.yaml'), 'utf8')).toContain('format: 2 # first draft');
    expect(readFileSync(path.join(folder, 'wearers/w01.yaml.before-2'), 'utf8')).toBe(before);
    expect((await striderule(['study', 'check', folder])).code).toBe(0);
    expect((await striderule(['study', 'migrate', folder])).stdout).toBe(
      'tern: format 2 already; nothing was changed.\n',
    );
  });

  test('never the demo study by default', async () => {
    const { code, stderr } = await striderule(['study', 'migrate']);
    expect(code).toBe(2);
    expect(stderr).toContain('there is no study.yaml in this folder or above it');
  });
});
