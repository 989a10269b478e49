import { type LedgerInput, type LedgerRow, shownUnit } from '@striderule/engine';
import { boundText, intervalText, openReason } from './ledger-table.ts';
import { GAP, significant } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { limitBar } from './scales.ts';
import { table } from './table.ts';

function inputText({ path, value, unit }: LedgerInput): readonly string[] {
  if (typeof value === 'string') return [path, value, unit];
  const shown = shownUnit(unit);
  return [path, significant(shown.of(value), 4), shown.unit];
}

/** Both ends of a walk’s bracket, and what it is not. */
function bracketText({ walk, unit }: LedgerRow): string {
  const { of, unit: shown } = shownUnit(unit);
  if (walk?.bracket === undefined) return 'one way of leading the thigh alone';
  const { prescribed, led } = walk.bracket;
  return `${significant(of(prescribed))} with the thigh prescribed, ${significant(of(led))} led, ${shown}: no confidence interval`;
}

/** One line of the ledger with all it rests on: reason, place, formula, chapter, inputs, cautions. */
export function ledgerReason(row: LedgerRow): string {
  const { of, difference, unit } = shownUnit(row.unit);
  const { requirement, predicted, margin, interval } = row;
  const facts: (readonly [string, string])[] = [
    ['required', `${boundText(row)} ${unit}`],
    ['because', requirement.because],
    ['predicted', predicted === null ? GAP : `${significant(of(predicted), 4)} ${unit}`],
    row.walk !== undefined
      ? ['bracket', bracketText(row)]
      : [
          'interval',
          interval === null
            ? 'no input has a spread'
            : `${intervalText(row)} ${unit}, 5th to 95th percentile, ${interval.method}`,
        ],
    ['margin', margin === null ? GAP : `${significant(difference(margin))} ${unit}`],
    [
      'state',
      row.state === 'open'
        ? `open: ${openReason(row)}`
        : row.walk?.changed === undefined
          ? row.state
          : `stale: walked before; since then ${row.walk.changed}`,
    ],
    ['worst at', row.at ?? GAP],
    ['measured', `${GAP} (no bench run yet)`],
    ['shown', `${GAP} (no trial yet)`],
    ['formula', row.formula],
    ['told in', `docs/${row.chapter}`],
  ];
  const inputs = table(
    [{ head: 'made from', align: 'left' }, { head: 'value' }, { head: 'unit', align: 'left' }],
    row.inputs.map(inputText),
  );
  const bar = limitBar(predicted, requirement.bound, interval);
  return [
    `${requirement.id}: ${row.title}${requirement.joint === undefined ? '' : `, ${requirement.joint}`}, ${row.state}`,
    facts.map(([name, text]) => paragraph(`${name.padEnd(11)}${text}`, 11)).join('\n'),
    bar === '' ? '' : `${bar}   left of │ is room`,
    row.inputs.length === 0 ? '' : inputs,
    list(row.cautions),
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}
