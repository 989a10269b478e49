import { closeSync, openSync, readdirSync, readFileSync, writeFileSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_STUDY } from './study-place.ts';
import { copyOfDemo, start, striderule, temporaryFolder } from './test-command.ts';

const CSV = path.join(DEMO_STUDY, 'recordings/demo-strides.csv');
const RECIPE = path.join(DEMO_STUDY, 'recordings/demo-recipe.yaml');
const importing = (folder: string, csv = CSV): readonly string[] => [
  ...['demand', 'import', csv, '--recipe', RECIPE, '--id', 'own-walk-1', '--study', folder],
];

describe('demand import', () => {
  test('makes a task that the other commands know; the original is kept byte for byte', async () => {
    const folder = copyOfDemo();
    const { code, stdout, stderr } = await striderule(importing(folder));
    expect({ code, stderr: stderr.includes('Reading demo-strides.csv') }).toEqual({ code: 0, stderr: true });
    expect(stdout).toMatch(/^tern: task own-walk-1 made of 6 strides; \d+ of \d+ checks hold\.$/m);
    expect(stdout).toContain('← chosen');
    expect(readFileSync(path.join(folder, 'tasks/own-walk-1.csv'))).toEqual(readFileSync(CSV));
    expect((await openStudy(folder)).input.tasks.map(({ id }) => id)).toContain('own-walk-1');
    const shown = await striderule(['demand', 'show', '--task', 'own-walk-1', '--study', folder]);
    expect(shown.stdout).toContain('Own walk 1');
  });

  test('the incline of the recipe is said with its sign, and its comments go into the task', async () => {
    const folder = copyOfDemo();
    const recipe = path.join(temporaryFolder(), 'recipe.yaml');
    const said = '# treadmill tilted by hand\nincline: -5 deg';
    writeFileSync(recipe, `${readFileSync(RECIPE, 'utf8').trimEnd()}\n${said}\n`);
    const { stdout } = await striderule(importing(folder).map((word) => (word === RECIPE ? recipe : word)));
    expect(stdout).toContain('incline −5.0° (up ahead positive)');
    const task = readFileSync(path.join(folder, 'tasks/own-walk-1.yaml'), 'utf8');
    expect(task.replaceAll(/^ +/gm, '')).toContain(`${said}\n`);
    const { input } = await openStudy(folder);
    expect(input.strides['own-walk-1']!.incline).toBeCloseTo((-5 * Math.PI) / 180, 12);
  });

  test('--json: only data on standard output, progress on standard error', async () => {
    const { stdout, stderr } = await striderule([...importing(copyOfDemo()), '--json']);
    expect(JSON.parse(stdout)).toMatchObject({ task: 'tasks/own-walk-1.yaml', count: 6 });
    expect(stderr).toContain('100 %');
  });

  test('a task that is there is kept, unless --replace says otherwise', async () => {
    const folder = copyOfDemo();
    await striderule(importing(folder));
    const again = await striderule(importing(folder));
    expect({ code: again.code, stdout: again.stdout }).toEqual({ code: 1, stdout: '' });
    expect(again.stderr).toContain('nothing is written over it');
    expect((await striderule([...importing(folder), '--replace'])).code).toBe(0);
  });

  test('a fault in the CSV has its line, column and caret, and leaves the study as it was', async () => {
    const folder = copyOfDemo();
    const broken = path.join(temporaryFolder(), 'broken.csv');
    const lines = readFileSync(CSV, 'utf8').split('\n');
    const at = 100;
    lines[at] = lines[at]!.replace(/^([^;]*;[^;]*;)[^;]*/, '$1abc');
    writeFileSync(broken, lines.join('\n'));
    const before = readdirSync(folder, { recursive: true }).sort();
    const { code, stdout, stderr } = await striderule(importing(folder, broken));
    expect({ code, stdout }).toEqual({ code: 1, stdout: '' });
    expect(stderr).toContain(`broken.csv:${at + 1}:`);
    expect(stderr).toMatch(/\n +\^/);
    expect(readdirSync(folder, { recursive: true }).sort()).toEqual(before);
  });

  test('never into the demo study by default', async () => {
    const { code, stderr } = await striderule(importing('').slice(0, -2));
    expect(code).toBe(2);
    expect(stderr).toContain('there is no study.yaml in this folder or above it');
  });

  test('Ctrl-C: exit 130, says so, and the study is as it was', async () => {
    const folder = copyOfDemo();
    const before = readdirSync(folder, { recursive: true }).sort();
    const large = largeRecording(200e6);
    const { child, ended } = start(importing(folder, large), tmpdir());
    await new Promise<void>((resolve) => {
      child.stderr!.on('data', (text: string) => {
        if (text.includes('10 %')) resolve();
      });
      child.on('exit', () => resolve());
    });
    child.kill('SIGINT');
    const { code, stdout, stderr } = await ended;
    expect({ code, stdout }).toEqual({ code: 130, stdout: '' });
    expect(stderr).toContain('Stopped; nothing was changed.');
    expect(readdirSync(folder, { recursive: true }).sort()).toEqual(before);
  });
});

/** The demo strides over and over, time and stride number going on, until the file has this many bytes. */
function largeRecording(bytes: number): string {
  const file = path.join(temporaryFolder(), 'large.csv');
  const [first, second, third, ...rows] = readFileSync(CSV, 'utf8').trimEnd().split('\n');
  const cells = rows.map((row) => /^([^;]+);([^;]+);(.*)$/.exec(row)!);
  const whole = cells.filter(([, , stride]) => Number(stride) <= 6);
  const step = 0.005;
  const out = openSync(file, 'w');
  let written = writeSync(out, `${first}\n${second}\n${third}\n`);
  for (let round = 0; written < bytes; round++) {
    const text = whole.map(([, , stride, rest], k) => {
      const time = ((round * whole.length + k) * step).toFixed(3).replace('.', ',');
      return `${time};${Number(stride) + 6 * round};${rest}\n`;
    });
    written += writeSync(out, text.join(''));
  }
  closeSync(out);
  return file;
}
