import type { LedgerRow } from '@striderule/engine';
import { expect, test } from 'vitest';
import { ledgerReason } from './ledger-reason.ts';
import { ledgerCsv, ledgerTable, ledgerVerdict } from './ledger-table.ts';

const met: LedgerRow = {
  requirement: {
    id: 'ankle-breakaway',
    metric: 'breakawayTorque',
    joint: 'ankle',
    bound: { kind: 'at most', value: 3 },
    because: 'COMMON PRACTICE',
  },
  title: 'Breakaway, unpowered',
  unit: 'N·m',
  predicted: 1.3,
  interval: { low: 1.1, high: 1.5, level: 0.9, method: 'linear propagation' },
  measured: null,
  shown: null,
  margin: 1.7,
  state: 'met',
  formula: 'N·τ_s/η_b + τ_s,out',
  chapter: 'drive.md#back-driving',
  inputs: [
    { path: 'joints.ankle.transmission.ratio', value: 22, unit: '1' },
    { path: 'tasks.walk-natural', value: 'walk-natural', unit: '' },
  ],
  cautions: ['Treat easy back-driving as a hazard.'],
};
const unmet: LedgerRow = {
  ...met,
  requirement: { ...met.requirement, id: 'knee-dead-angle', bound: { kind: 'at most', value: Math.PI / 36 } },
  title: 'Dead angle',
  unit: 'rad',
  predicted: Math.PI / 30,
  interval: null,
  margin: Math.PI / 36 - Math.PI / 30,
  state: 'not met',
};
const open: LedgerRow = {
  ...met,
  requirement: { ...met.requirement, id: 'knee-stiffness', bound: { kind: 'at least', value: 100 } },
  predicted: null,
  interval: null,
  margin: null,
  state: 'open',
  openBecause: 'it needs the controller',
  cautions: [],
};

test('the verdict counts every state that occurs, in words', () => {
  expect(ledgerVerdict([met, unmet, open, { ...met, state: 'stale' }])).toBe(
    '4 requirements: 1 met, 1 not met, 1 open, 1 stale.',
  );
  expect(ledgerVerdict([])).toContain('requirements.yaml is where they go');
});

test('angles are read in degrees, a lack has a true minus, what is not predicted is a dash with its reason', () => {
  const text = ledgerTable([met, unmet, open]);
  const cells = (id: string): readonly string[] =>
    text
      .split('\n')
      .find((line) => line.startsWith(id))!
      .split(/\s{2,}/);
  expect(cells('ankle-breakaway').slice(3, 11)).toEqual([
    '≤ 3.00',
    '1.30',
    '1.10 … 1.50',
    '—',
    '—',
    '+1.70',
    'N·m',
    'met',
  ]);
  // π/36 rad = 5°, π/30 rad = 6°
  expect(cells('knee-dead-angle').slice(3, 11)).toEqual([
    '≤ 5.00',
    '6.00',
    '—',
    '—',
    '—',
    '−1.00',
    '°',
    'not met',
  ]);
  expect(cells('knee-stiffness').slice(3, 6)).toEqual(['≥ 100', '—', '—']);
  expect(text).toContain('- knee-stiffness: it needs the controller');
  expect(text.match(/Treat easy back-driving/g)).toHaveLength(1);
});

test('a line that is open although predicted says that its interval reaches over the bound', () => {
  const text = ledgerTable([{ ...met, state: 'open' }]);
  expect(text).toContain(
    '- ankle-breakaway: the prediction is inside the bound, its 5th–95th percentile interval is not',
  );
});

test('the reason names the bound, the ground, the formula, the chapter, the inputs and the cautions', () => {
  const text = ledgerReason(met);
  for (const told of [
    'required   ≤ 3.00 N·m',
    'because    COMMON PRACTICE',
    'interval   1.10 … 1.50 N·m, 5th to 95th percentile, linear propagation',
    'formula    N·τ_s/η_b + τ_s,out',
    'told in    docs/drive.md#back-driving',
    '- Treat easy back-driving as a hazard.',
  ]) {
    expect(text).toContain(told);
  }
  expect(text).toMatch(/joints\.ankle\.transmission\.ratio +22\.00/);
  expect(text).toMatch(/tasks\.walk-natural +walk-natural/);
});

test('CSV keeps SI numbers as they are', () => {
  const [, , second] = ledgerCsv([met, unmet]).split('\n');
  expect(second).toContain(`at most,${Math.PI / 36},${Math.PI / 30},,,`);
});
