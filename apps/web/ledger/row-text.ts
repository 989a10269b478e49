import { type LedgerRow, shownUnit } from '@striderule/engine';
import type { Known } from '../design/use-ledger.ts';
import { significant } from '../show/number.ts';

export const boundText = ({ requirement: { bound }, unit }: LedgerRow): string =>
  `${bound.kind === 'at most' ? '≤' : '≥'} ${significant(shownUnit(unit).of(bound.value))}`;

export const valueText = (row: LedgerRow, value: number | null): string =>
  significant(value === null ? null : shownUnit(row.unit).of(value));

/** The state; `inside` where only the value is known and it keeps its bound; `to come` where not even that is. */
export const stateWord = ({ state }: LedgerRow, known: Known): string =>
  known === 'nothing' ? 'to come' : known === 'whole' || state !== 'met' ? state : 'inside';

export function intervalText(row: LedgerRow): string {
  if (row.interval === null) return 'no spread is given for its inputs';
  const { of, unit } = shownUnit(row.unit);
  const { low, high, method } = row.interval;
  return `${significant(of(low))} to ${significant(of(high))} ${unit}, 5th to 95th percentile, ${method}`;
}

/** Room to the bound, in the shown unit. */
export const marginText = ({ margin, unit }: LedgerRow): string =>
  significant(margin === null ? null : shownUnit(unit).difference(margin));

/** Where it applies: joint and task. */
export const scopeText = ({ requirement: { joint, task } }: LedgerRow): string =>
  [joint, task].filter((part) => part !== undefined).join(', ');

export function ledgerCsv(rows: readonly LedgerRow[]) {
  return [
    [
      'id',
      'requirement',
      'joint',
      'task',
      'unit',
      'bound',
      'asked',
      'predicted',
      'low (5 %)',
      'high (95 %)',
      'measured',
      'shown',
      'margin',
      'state',
      'worst at or why open',
      'formula',
      'chapter',
      'because',
    ],
    ...rows.map((row) => {
      const { of, difference, unit } = shownUnit(row.unit);
      const { requirement: r } = row;
      const number = (value: number | null | undefined) =>
        value === null || value === undefined ? null : of(value);
      return [
        r.id,
        row.title,
        r.joint,
        r.task,
        unit,
        r.bound.kind,
        of(r.bound.value),
        number(row.predicted),
        number(row.interval?.low),
        number(row.interval?.high),
        null,
        null,
        row.margin === null ? null : difference(row.margin),
        row.state,
        row.openBecause ?? row.at,
        row.formula,
        row.chapter,
        r.because,
      ];
    }),
  ];
}
