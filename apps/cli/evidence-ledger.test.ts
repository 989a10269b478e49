import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { evaluateStudy, type LedgerRow } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, striderule } from './test-command.ts';

const { input } = await openStudy(DEMO_STUDY);

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

    const folder = copyOfDemo();
    const name = path.join(folder, 'requirements.yaml');
    const impossible = readFileSync(name, 'utf8').replace(/atMost: *[\d.]+ N\*m/, 'atMost: 0.001 N*m');
    writeFileSync(name, impossible);
    const { code, stdout } = await striderule(['evidence', 'ledger', '--strict', '--study', folder]);
    expect(stdout).toContain('not met');
    expect(code).toBe(3);
  });
});
