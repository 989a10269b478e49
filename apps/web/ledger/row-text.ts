import { type LedgerRow, shownUnit } from '@striderule/engine';
import type { Known } from '../design/use-ledger.ts';
import { significant } from '../show/number.ts';

export const boundText = ({
  requirement: { bound },
  unit,
}: Pick<LedgerRow, 'requirement' | 'unit'>): string =>
  `${bound.kind === 'at most' ? '≤' : '≥'} ${significant(shownUnit(unit).of(bound.value))}`;

export const valueText = (row: Pick<LedgerRow, 'unit'>, value: number | null): string =>
  significant(value === null ? null : shownUnit(row.unit).of(value));

/** A line with what is still to be done for it: the walks that judge it are on their way, or wait until somebody looks. */
export interface ShownRow extends LedgerRow {
  readonly pending?: 'walking …' | 'to walk';
}

/** The state; `inside` where only the value is known and it keeps its bound; `to come` where not even that is, `not known` where it does not come. */
export const stateWord = ({ state, walk, pending }: ShownRow, known: Known): string => {
  if (pending !== undefined)
    return state !== 'stale' ? pending : pending === 'to walk' ? state : `stale, ${pending}`;
  if (walk !== undefined) return state;
  if (known === 'lost') return 'not known';
  return known === 'nothing' ? 'to come' : known === 'whole' || state !== 'met' ? state : 'inside';
};

export function intervalText(row: LedgerRow): string {
  const { of, unit } = shownUnit(row.unit);
  if (row.walk?.bracket !== undefined) {
    const { prescribed, led } = row.walk.bracket;
    return `${significant(of(prescribed))} ${unit} with the thigh prescribed, ${significant(of(led))} led: no confidence interval; a wearer’s own hip lies between, as far as a model knows`;
  }
  if (row.walk !== undefined)
    return row.walk.changed === undefined && row.predicted === null
      ? 'not walked'
      : 'one way of leading the thigh alone';
  if (row.interval === null) return 'no spread is given for its inputs';
  const { low, high, method } = row.interval;
  return `${significant(of(low))} to ${significant(of(high))} ${unit}, 5th to 95th percentile, ${method}`;
}

/** Room to the bound, in the shown unit. */
export const marginText = ({ margin, unit }: LedgerRow): string =>
  significant(margin === null ? null : shownUnit(unit).difference(margin));

/** Where it applies: joint and task, or speed and thigh of the walk. */
export const scopeText = ({ requirement: { joint, task, speed, thigh, control } }: LedgerRow): string =>
  [
    joint,
    task,
    speed === undefined ? undefined : `${speed} m/s`,
    thigh === undefined ? undefined : `thigh ${thigh}`,
    control === 'study' ? 'study’s controller' : undefined,
  ]
    .filter((part) => part !== undefined)
    .join(', ');

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
      'thigh prescribed',
      'thigh led',
      'changed since walked',
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
        number(row.walk?.bracket?.prescribed),
        number(row.walk?.bracket?.led),
        row.walk?.changed,
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
