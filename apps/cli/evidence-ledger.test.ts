import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import {
  evaluateStudy,
  isWalked,
  type KeptWalk,
  type LedgerRow,
  ledgerWalkName,
  ledgerWalks,
  openLedgerWalk,
  withWalks,
} from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, start, striderule } from './test-command.ts';

const { input } = await openStudy(DEMO_STUDY);
/** Nothing walked: what a walk judges is open, and the rest of the ledger stands. */
const kept = (...more: string[]) =>
  striderule(['evidence', 'ledger', '--kept', '--study', copyOfDemo(), ...more]);

describe('evidence ledger', () => {
  test('verdict first, then each requirement with its state in words, cautions below', async () => {
    const { code, stdout } = await kept();
    expect(code).toBe(0);
    expect(stdout).toMatch(new RegExp(`^${input.requirements.length} requirements: `));
    expect(stdout).toContain(DEMO_MARK);
    const { ledger } = evaluateStudy(input);
    for (const { requirement, state } of ledger) {
      const line = stdout.split('\n').find((text) => text.startsWith(requirement.id));
      expect(line, requirement.id).toContain(state);
    }
    const unwalked = input.requirements.filter(({ metric }) => isWalked(metric));
    expect(stdout).toContain(`\n${unwalked.length} are judged by walks and have not been walked`);
    expect(stdout).toContain('Cautions');
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await kept('--json');
    expect(JSON.parse(stdout).ledger).toEqual(asJson(evaluateStudy(input).ledger));
  });

  test('--why: reason, formula, chapter and every input', async () => {
    const row = evaluateStudy(input).ledger.find(
      ({ predicted, inputs }) => predicted !== null && inputs.length > 0,
    ) as LedgerRow;
    const { stdout } = await kept('--why', row.requirement.id);
    expect(stdout).toContain(row.formula);
    expect(stdout).toContain(`docs/${row.chapter}`);
    for (const { path: name } of row.inputs) expect(stdout).toContain(name);
  });

  test('--csv has a row a requirement', async () => {
    const { stdout } = await kept('--csv');
    expect(stdout.trimEnd().split('\n')).toHaveLength(input.requirements.length + 1);
  });

  test('--strict: 0 while nothing is unmet, 3 when a requirement is not met', async () => {
    const unmet = evaluateStudy(input).ledger.some(({ state }) => state === 'not met');
    expect((await kept('--strict')).code).toBe(unmet ? 3 : 0);

    const folder = copyOfDemo();
    const name = path.join(folder, 'requirements.yaml');
    const impossible = readFileSync(name, 'utf8').replace(/atMost: *[\d.]+ N\*m/, 'atMost: 0.001 N*m');
    writeFileSync(name, impossible);
    const { code, stdout } = await striderule([
      'evidence',
      'ledger',
      '--kept',
      '--strict',
      '--study',
      folder,
    ]);
    expect(stdout).toContain('not met');
    expect(code).toBe(3);
  });

  const FEW = `- { id: torque, metric: torqueMargin, joint: ankle, atLeast: 1.1, because: test }
- { id: guide, metric: guideForce, speed: 1.1 m/s, atMost: 10 %, because: test }
- { id: hip, metric: hipWork, speed: 1.1 m/s, thigh: led, atMost: 0.2 J/kg, because: test }
`;

  test('walked once and kept; walked anew where a result or an input was changed; until then stale, and through what', async () => {
    const folder = copyOfDemo();
    const file = (name: string) => path.join(folder, name);
    writeFileSync(file('requirements.yaml'), FEW);
    const ledger = (...more: string[]) => striderule(['evidence', 'ledger', '--study', folder, ...more]);
    const results = () => readdirSync(file('results/walks')).map((name) => file(`results/walks/${name}`));

    const first = await ledger('--json');
    expect(first.code, first.stderr).toBe(0);
    expect(first.stderr).toContain('Walking 100 %');
    const study = (await openStudy(folder)).input;
    const walks = new Map<string, KeptWalk>();
    for (const walk of ledgerWalks(study)) {
      const open = openLedgerWalk(study, walk);
      while (open.next() < 1);
      walks.set(ledgerWalkName(walk), { walked: open.walked() });
    }
    // guide and hip share the walk with the thigh led
    expect(walks.size).toBe(2);
    expect(results()).toHaveLength(2);
    const rows = withWalks(study, evaluateStudy(study).ledger, walks);
    expect(JSON.parse(first.stdout).ledger).toEqual(asJson(rows));

    const again = await ledger('--json');
    expect(again.stdout).toBe(first.stdout);
    expect(again.stderr).not.toContain('Walking');

    const [one] = results();
    writeFileSync(one!, readFileSync(one!, 'utf8').replace(/"guideForce":0\.0/, '"guideForce":0.1'));
    const mended = await ledger('--json');
    expect(mended.stderr).toContain('is broken (its value was changed after it was made) and is not used.');
    expect(mended.stdout).toBe(first.stdout);

    const leg = readFileSync(file('legs/tern.yaml'), 'utf8');
    const [, ratio] = /ratio: (\d+)/.exec(leg)!;
    writeFileSync(file('legs/tern.yaml'), leg.replace(`ratio: ${ratio}`, 'ratio: 21'));
    const stale = JSON.parse((await ledger('--kept', '--json')).stdout).ledger as LedgerRow[];
    for (const [k, row] of stale.slice(1).entries()) {
      expect(row.state).toBe('stale');
      expect(row.walk!.changed).toMatch(/^leg (knee|ankle) changed$/);
      expect(row.predicted).toBe(rows[k + 1]!.predicted);
    }
    const text = (await ledger('--kept')).stdout;
    expect(text).toMatch(/^3 requirements: .*2 stale\.\n/);
    expect(text).toMatch(/Stale: walked before, and since then; [^\n]+\n- guide: leg (knee|ankle) changed\n/);
    expect((await ledger('--kept', '--why', 'hip')).stdout).toMatch(
      /state +stale: walked before; since then leg/,
    );

    const anew = await ledger('--json');
    expect(anew.stderr).toContain('Walking 100 %');
    const now = JSON.parse(anew.stdout).ledger as LedgerRow[];
    expect(now.filter(({ state, walk }) => state === 'stale' || walk?.changed !== undefined)).toEqual([]);
    expect(now[1]!.predicted).not.toBe(rows[1]!.predicted);
    // and back: both are kept
    writeFileSync(file('legs/tern.yaml'), leg);
    const back = await ledger('--json');
    expect([back.stdout, back.stderr.includes('Walking')]).toEqual([first.stdout, false]);
  }, 60_000);

  test('the bracket stands in square brackets and is called none of an interval', async () => {
    const folder = copyOfDemo();
    writeFileSync(path.join(folder, 'requirements.yaml'), FEW);
    const { stdout } = await striderule(['evidence', 'ledger', '--study', folder]);
    expect(stdout).toMatch(/\nguide .* \[0\.0\d+ … 0\.\d+\] /);
    expect(stdout).toContain('it is no confidence interval');
    const why = await striderule(['evidence', 'ledger', '--study', folder, '--why', 'guide']);
    expect(why.stdout.replace(/\s+/g, ' ')).toMatch(
      /bracket 0\.\d+ with the thigh prescribed, 0\.\d+ led, ×: no confidence interval/,
    );
    expect(why.stdout).toContain('told in    docs/walk.md#in-the-ledger');
  }, 60_000);

  test('stopped by Ctrl-C it keeps what it has walked', async () => {
    const folder = copyOfDemo();
    const results = () => {
      try {
        return readdirSync(path.join(folder, 'results/walks')).filter((name) => name.endsWith('.json'));
      } catch {
        return [];
      }
    };
    const { child, ended } = start(['evidence', 'ledger', '--study', folder], folder);
    while (results().length < 1 && child.exitCode === null)
      await new Promise((resolve) => setTimeout(resolve, 10));
    child.kill('SIGINT');
    const { code, stdout, stderr } = await ended;
    expect([code, stdout]).toEqual([130, '']);
    expect(stderr).toContain('Stopped. What was walked is kept; the same command goes on from there.');
    expect(results().length).toBeGreaterThanOrEqual(1);
    expect(results().length).toBeLessThan(ledgerWalks(input).length);
  }, 60_000);
});
