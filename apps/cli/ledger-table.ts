import { type LedgerRow, NOT_WALKED, type RequirementState, shownUnit } from '@striderule/engine';
import { GAP, significant } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { limitBar } from './scales.ts';
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

export function intervalText({ interval, unit, walk }: LedgerRow): string {
  const { of } = shownUnit(unit);
  if (walk?.bracket !== undefined) {
    const [low, high] = Object.values(walk.bracket).sort((a, b) => a - b);
    return `[${significant(of(low!))} … ${significant(of(high!))}]`;
  }
  if (interval === null) return GAP;
  return `${significant(of(interval.low))} … ${significant(of(interval.high))}`;
}

const signed = (value: number | null): string =>
  value !== null && value > 0 ? `+${significant(value)}` : significant(value);

/** Why a line is open: the engine's reason, or that its interval reaches over the bound. */
export const openReason = (row: LedgerRow): string =>
  row.openBecause ?? 'the prediction is inside the bound, its 5th–95th percentile interval is not';

// a terminal that is narrower than this would fold every row; the id and --why say the same
const ROOM_FOR_TITLES = 150;

/** The ledger: a row a requirement, all bars on one limit line, then why the open ones are open, then cautions. */
export function ledgerTable(rows: readonly LedgerRow[]): string {
  const titled = (process.stdout.columns ?? ROOM_FOR_TITLES) >= ROOM_FOR_TITLES;
  const body = table(
    [
      { head: 'requirement', align: 'left' },
      { head: 'joint', align: 'left' },
      ...(titled ? [{ head: 'what', align: 'left' } as const] : []),
      { head: 'required' },
      { head: 'predicted' },
      { head: '5th–95th' },
      { head: 'measured' },
      { head: 'shown' },
      { head: 'margin' },
      { head: 'unit', align: 'left' },
      { head: 'state', align: 'left' },
      { head: 'room      limit │ beyond', align: 'left' },
    ],
    rows.map((row) => {
      const { of, difference, unit } = shownUnit(row.unit);
      const { requirement, predicted, interval, margin, state } = row;
      return [
        requirement.id,
        requirement.joint ?? 'leg',
        ...(titled ? [row.title] : []),
        boundText(row),
        predicted === null ? GAP : significant(of(predicted)),
        intervalText(row),
        GAP,
        GAP,
        margin === null ? GAP : signed(difference(margin)),
        unit,
        state,
        limitBar(predicted, requirement.bound, interval),
      ];
    }),
  );
  const unwalked = rows.filter(({ openBecause }) => openBecause === NOT_WALKED);
  const open = rows.filter((row) => row.state === 'open' && !unwalked.includes(row));
  const reasons = list(open.map((row) => `${row.requirement.id}: ${openReason(row)}`));
  const stale = rows.filter(({ walk }) => walk?.changed !== undefined);
  const since = list(stale.map((row) => `${row.requirement.id}: ${row.walk!.changed}`));
  const cautions = [...new Set(rows.flatMap((row) => row.cautions))];
  return [
    body,
    open.length === 0 ? '' : `Open because\n${reasons}`,
    unwalked.length === 0
      ? ''
      : paragraph(
          `${unwalked.length} are judged by walks and have not been walked; striderule evidence ledger walks them and keeps what came of it: ${unwalked.map(({ requirement }) => requirement.id).join(', ')}.`,
        ),
    stale.length === 0
      ? ''
      : `Stale: walked before, and since then; striderule evidence ledger walks them anew\n${since}`,
    rows.some(({ walk }) => walk?.bracket !== undefined)
      ? 'In [ ]: what a walk with the thigh prescribed and one with the thigh led come to. A wearer’s own hip lies between, as far as a\nmodel knows; it is no confidence interval.'
      : '',
    'Measured and shown are empty: no bench run and no trial belongs to this study yet.\n' +
      'striderule evidence ledger --why <requirement> says where a number comes from.',
    cautions.length === 0 ? '' : `Cautions\n${list(cautions)}`,
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
      'thigh prescribed',
      'thigh led',
      'changed since walked',
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
      row.walk?.bracket?.prescribed,
      row.walk?.bracket?.led,
      row.walk?.changed ?? '',
      row.state,
      row.openBecause ?? '',
      row.at ?? '',
      row.requirement.because,
    ]),
  );
}
