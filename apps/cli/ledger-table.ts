import type { LedgerRow, RequirementState } from '@striderule/engine';
import { GAP, significant } from './number-text.ts';
import { limitBar } from './scales.ts';
import { shownUnit } from './shown-unit.ts';
import { csv, table } from './table.ts';

const ORDER: readonly RequirementState[] = ['met', 'not met', 'open', 'stale'];

/** One line first: how many requirements are in which state. */
export function ledgerVerdict(rows: readonly LedgerRow[]): string {
  if (rows.length === 0) return 'No requirement is written yet: requirements.yaml is where they go.';
  const counts = ORDER.map((state) => [state, rows.filter((row) => row.state === state).length] as const);
  const told = counts.filter(([, count]) => count > 0).map(([state, count]) => `${count} ${state}`);
  return `${rows.length} requirements: ${told.join(', ')}.`;
}

/** `≤ 3` and the like. */
export const boundText = ({ requirement: { bound }, unit }: LedgerRow): string =>
  `${bound.kind === 'at most' ? '≤' : '≥'} ${significant(shownUnit(unit).of(bound.value))}`;

export function intervalText({ interval, unit }: LedgerRow): string {
  if (interval === null) return GAP;
  const { of } = shownUnit(unit);
  return `${significant(of(interval.low))} … ${significant(of(interval.high))}`;
}

const signed = (value: number | null): string =>
  value !== null && value > 0 ? `+${significant(value)}` : significant(value);

/** The ledger: a row a requirement, all bars on one limit line, then why the open ones are open. */
export function ledgerTable(rows: readonly LedgerRow[]): string {
  const body = table(
    [
      { head: 'requirement', align: 'left' },
      { head: 'joint', align: 'left' },
      { head: 'what', align: 'left' },
      { head: 'required' },
      { head: 'predicted' },
      { head: '5th–95th' },
      { head: 'margin' },
      { head: 'unit', align: 'left' },
      { head: 'state', align: 'left' },
      { head: 'room        limit │ beyond', align: 'left' },
    ],
    rows.map((row) => {
      const { of, unit } = shownUnit(row.unit);
      const { requirement, predicted, interval, margin, state } = row;
      return [
        requirement.id,
        requirement.joint ?? 'leg',
        row.title,
        boundText(row),
        predicted === null ? GAP : significant(of(predicted)),
        intervalText(row),
        margin === null ? GAP : signed(of(margin)),
        unit,
        state,
        limitBar(predicted, requirement.bound, interval),
      ];
    }),
  );
  const open = rows.filter((row) => row.openBecause !== undefined);
  const reasons = open.map((row) => `- ${row.requirement.id}: ${row.openBecause}`);
  const cautions = [...new Set(rows.flatMap((row) => row.cautions))];
  return [
    body,
    reasons.length === 0 ? '' : `Open because\n${reasons.join('\n')}`,
    'Measured and shown are empty: no bench run and no trial belongs to this study yet.\n' +
      'striderule evidence ledger --why <requirement> says where a number comes from.',
    cautions.join('\n'),
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

/** The ledger as CSV, SI units as named in each row. */
export function ledgerCsv(rows: readonly LedgerRow[]): string {
  return csv(
    [
      'requirement',
      'metric',
      'title',
      'joint',
      'task',
      'bound',
      'required',
      'predicted',
      '5th percentile',
      '95th percentile',
      'margin',
      'unit',
      'state',
      'open because',
      'at',
      'because',
    ],
    rows.map((row) => [
      row.requirement.id,
      row.requirement.metric,
      row.title,
      row.requirement.joint ?? '',
      row.requirement.task ?? '',
      row.requirement.bound.kind,
      row.requirement.bound.value,
      row.predicted,
      row.interval?.low,
      row.interval?.high,
      row.margin,
      row.unit,
      row.state,
      row.openBecause ?? '',
      row.at ?? '',
      row.requirement.because,
    ]),
  );
}
