import {
  chmodSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { evaluateStudy, gaitDemand, type LedgerRow, type StudyInput, shownMoment } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { copyOfDemo, striderule } from './test-command.ts';

let input: StudyInput;
const made: string[] = [];

beforeAll(async () => {
  input = (await openStudy(DEMO_STUDY)).input;
});
afterAll(() => {
  for (const folder of made) rmSync(path.dirname(folder), { recursive: true, force: true });
});

function copy(): string {
  const folder = copyOfDemo();
  made.push(folder);
  return folder;
}

/** As JSON hands it on: typed arrays as lists, NaN as null. */
const asJson = (value: unknown): unknown =>
  JSON.parse(
    JSON.stringify(value, (_, item) => (ArrayBuffer.isView(item) ? Array.from(item as Float64Array) : item)),
  );

describe('demand show', () => {
  test('verdict first, then study and demo mark, then every task that has a curve', async () => {
    const { code, stdout, stderr } = await striderule(['demand', 'show']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Most asked: /);
    expect(stdout).toContain(DEMO_MARK);
    for (const task of input.tasks) expect(stdout).toContain(task.id);
    expect(stdout).toContain('Peaks only: no curve, so no heat and no energy');
    expect(stdout).toContain('What 100 g cost in swing');
    expect(stdout).not.toMatch(/NaN|undefined|null|\[object/);
    expect(stdout).not.toMatch(/\s-\d/); // the minus is a true minus
    expect(stderr).toContain('this is the demo study');
  });

  test('one instant: the engine’s numbers, moments as the literature prints them', async () => {
    const task = input.tasks.find(({ id }) => id === 'walk-natural')!;
    const demand = gaitDemand(task, input.strides, input.wearer, input.leg.segments);
    if (demand.kind !== 'stride') throw new Error('walk-natural has a curve');
    const { stdout } = await striderule([
      'demand',
      'show',
      '--task',
      'walk-natural',
      '--joint',
      'ankle',
      '--at',
      '46',
    ]);
    const row = stdout.split('\n').find((line) => line.startsWith('ankle'))!;
    expect(row.split(/\s{2,}/)[3]).toBe(shownMoment(demand.joints.ankle!.moment[92]!).toFixed(1));
    expect(Number(row.split(/\s{2,}/)[3])).toBeGreaterThan(100); // plantarflexor positive at push-off
    expect(stdout).toContain('plantarflexor positive');
    expect(stdout).not.toMatch(/^knee/m);
  });

  test('one task is drawn on one stride axis, with its notes', async () => {
    const { stdout } = await striderule(['demand', 'show', '--task', 'walk-natural']);
    const pictures = stdout.split('\n').filter((line) => /[▁▂▃▄▅▆▇█]{51}/.test(line));
    expect(pictures).toHaveLength(12);
    expect(new Set(pictures.map((line) => line.search(/[▁▂▃▄▅▆▇█]/))).size).toBe(1);
    expect(stdout).toMatch(/┴────┴.*┃/);
    expect(stdout).toContain('- In stance the scaled human moment; in swing this leg');
  });

  test('--json is the engine’s own record and nothing else', async () => {
    const { code, stdout } = await striderule(['demand', 'show', '--json']);
    expect(code).toBe(0);
    const { demands, demo } = JSON.parse(stdout);
    expect(demo).toBe(true);
    const ours = input.tasks.map((task) => gaitDemand(task, input.strides, input.wearer, input.leg.segments));
    expect(demands).toEqual(asJson(ours));
  });

  test('--csv with a task: one row each half per cent, numbers of full precision', async () => {
    const { stdout } = await striderule([
      'demand',
      'show',
      '--task',
      'walk-natural',
      '--joint',
      'knee',
      '--csv',
    ]);
    const lines = stdout.trimEnd().split('\n');
    expect(lines).toHaveLength(202);
    expect(lines[0]).toContain('knee moment (N·m; extensor positive)');
    expect(lines[1]!.split(',')[0]).toBe('0');
    expect(lines[201]!.split(',')[0]).toBe('100');
  });

  test('a reader that has seen enough ends it quietly', async () => {
    const { stdout, code } = await striderule(['demand', 'show', '--csv']);
    expect(code).toBe(0);
    expect(stdout.split('\n')[0]).toContain('peak moment (N·m; extensor and plantarflexor positive)');
  });
});

describe('drive check', () => {
  test('figures, margins, hints that say they are hints, and cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'check']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^(Enough|Not enough): least limit ÷ need is torque /);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'lossless',
      'with drag and mesh',
      'reflected inertia',
      'COMMON PRACTICE',
      'tethered bench',
      'ethics board',
    ]) {
      expect(stdout).toContain(told);
    }
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['drive', 'check', '--joint', 'ankle', '--json']);
    const { figures, loads } = JSON.parse(stdout);
    const ours = evaluateStudy(input);
    expect(figures).toEqual(asJson({ ankle: ours.figures.ankle }));
    expect(loads['walk-natural']).toEqual(asJson({ ankle: ours.loads['walk-natural']!.ankle }));
  });

  test('another leg of the study, and one that drives no joint', async () => {
    const high = await striderule(['drive', 'check', '--leg', 'tern-50']);
    expect(high.stdout).toMatch(/^ratio +50\.0 +50\.0 {2}: 1$/m);
    const passive = await striderule(['drive', 'check', '--leg', 'passive']);
    expect(passive.code).toBe(0);
    expect(passive.stdout).toMatch(/^This leg drives no joint: nothing to check\./);
    const unknown = await striderule(['drive', 'check', '--leg', 'ternn']);
    expect(unknown.code).toBe(1);
    expect(unknown.stderr).toContain('legs/ternn.yaml: there is no such file');
  });

  test('--csv: a row a task and joint', async () => {
    const { stdout } = await striderule(['drive', 'check', '--csv', '--task', 'walk-natural']);
    expect(stdout.trimEnd().split('\n')).toHaveLength(3);
  });
});

describe('evidence ledger', () => {
  test('verdict first, then each requirement with its state in words, cautions below', async () => {
    const { code, stdout } = await striderule(['evidence', 'ledger']);
    expect(code).toBe(0);
    expect(stdout).toMatch(new RegExp(`^${input.requirements.length} requirements: `));
    expect(stdout).toContain(DEMO_MARK);
    const { ledger } = evaluateStudy(input);
    for (const { requirement, state } of ledger) {
      const line = stdout.split('\n').find((text) => text.startsWith(requirement.id));
      expect(line, requirement.id).toContain(state);
    }
    expect(stdout).toContain('Cautions');
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['evidence', 'ledger', '--json']);
    expect(JSON.parse(stdout).ledger).toEqual(asJson(evaluateStudy(input).ledger));
  });

  test('--why: reason, formula, chapter and every input', async () => {
    const row = evaluateStudy(input).ledger.find(
      ({ predicted, inputs }) => predicted !== null && inputs.length > 0,
    ) as LedgerRow;
    const { stdout } = await striderule(['evidence', 'ledger', '--why', row.requirement.id]);
    expect(stdout).toContain(row.formula);
    expect(stdout).toContain(`docs/${row.chapter}`);
    for (const { path: name } of row.inputs) expect(stdout).toContain(name);
  });

  test('--csv has a row a requirement', async () => {
    const { stdout } = await striderule(['evidence', 'ledger', '--csv']);
    expect(stdout.trimEnd().split('\n')).toHaveLength(input.requirements.length + 1);
  });

  test('--strict: 0 while nothing is unmet, 3 when a requirement is not met', async () => {
    const unmet = evaluateStudy(input).ledger.some(({ state }) => state === 'not met');
    expect((await striderule(['evidence', 'ledger', '--strict'])).code).toBe(unmet ? 3 : 0);

    const folder = copy();
    const name = path.join(folder, 'requirements.yaml');
    const impossible = readFileSync(name, 'utf8').replace(/atMost: *[\d.]+ N\*m/, 'atMost: 0.001 N*m');
    writeFileSync(name, impossible);
    const { code, stdout } = await striderule(['evidence', 'ledger', '--strict', '--study', folder]);
    expect(stdout).toContain('not met');
    expect(code).toBe(3);
  });
});

describe('studies', () => {
  let place: string;
  beforeEach(() => {
    place = mkdtempSync(path.join(tmpdir(), 'striderule-place-'));
    made.push(path.join(place, 'any'));
  });

  test('study new, then check and ledger inside it without naming it', async () => {
    const fresh = await striderule(['study', 'new', 'my-leg'], place);
    expect(fresh.code).toBe(0);
    expect(fresh.stdout).toContain('DEMO DATA until you replace it');
    const folder = path.join(place, 'my-leg');
    expect(existsSync(path.join(folder, 'study.yaml'))).toBe(true);

    const check = await striderule(['study', 'check'], path.join(folder, 'legs'));
    expect(check).toMatchObject({ code: 0, stdout: 'my-leg: no fault.\n', stderr: '' });
    const ledger = await striderule(['evidence', 'ledger'], folder);
    expect(ledger.code).toBe(0);
    expect(ledger.stdout).toContain('Study my-leg:');
    expect(ledger.stdout).toContain(DEMO_MARK);
    expect(ledger.stderr).toBe('');
  });

  test('study new refuses a folder that has something in it', async () => {
    writeFileSync(path.join(place, 'mine.txt'), 'mine');
    const { code, stdout, stderr } = await striderule(['study', 'new', place]);
    expect({ code, stdout }).toEqual({ code: 1, stdout: '' });
    expect(stderr).toContain('already has something in it, and nothing there is overwritten');
    expect(readdirSync(place)).toEqual(['mine.txt']);
  });

  test('study new where nothing may be written says so and leaves nothing', async () => {
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
    const folder = copy();
    const before = readdirSync(folder, { recursive: true }).sort();
    chmodSync(folder, 0o555);
    const { code } = await striderule(['evidence', 'ledger', '--study', folder]);
    chmodSync(folder, 0o755);
    expect(code).toBe(0);
    expect(readdirSync(folder, { recursive: true }).sort()).toEqual(before);
  });

  test('no study at the place named', async () => {
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
    const folder = copy();
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
    const folder = copy();
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
