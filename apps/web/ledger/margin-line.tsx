import { type LedgerRow, shownUnit } from '@striderule/engine';
import { useId } from 'react';
import type { Known } from '../design/use-ledger.ts';
import { NumberText } from '../sections/number-text.tsx';
import { MarginBar } from './margin-bar.tsx';
import { boundText, stateWord, valueText } from './row-text.ts';

/** One requirement in one line: what is asked, what is predicted, its margin and its state in words. Its name leads to the evidence. */
export function MarginLine({
  row,
  known,
  ghost,
  toRow,
  scope,
}: {
  /** Where it applies, as far as the table does not say so. */
  readonly scope: string;
  readonly toRow: (id: string) => void;
  readonly row: LedgerRow;
  readonly known: Known;
  /** What the saved design has; the same as the row’s own where there is no other. */
  readonly ghost: number | null;
}) {
  const { unit } = shownUnit(row.unit);
  const { id } = row.requirement;
  const where = useId();
  const state = stateWord(row, known);
  const parts = [scope, unit === '×' ? '' : unit].filter((part) => part !== '');
  return (
    <tr data-margin={id}>
      <th scope="row">
        <a
          aria-describedby={where}
          href={`#page=evidence&row=${id}`}
          onClick={(event) => {
            if (event.ctrlKey || event.metaKey || event.shiftKey) return;
            event.preventDefault();
            toRow(id);
          }}
        >
          {row.title}
        </a>{' '}
        <span className="quiet" id={where}>
          {parts.join(', ').replace(' peak phase', '')}
        </span>
      </th>
      <td>{boundText(row)}</td>
      <td className="strong">
        <NumberText text={valueText(row, row.predicted)} />
        <span className="sr">
          {ghost === null || ghost === row.predicted ? '' : `, saved ${valueText(row, ghost)}`}
        </span>
      </td>
      <td className="barred">
        <MarginBar row={row} ghost={ghost === row.predicted ? null : ghost} />
      </td>
      <td className={state === 'met' || state === 'inside' ? 'word' : 'word strong'} title={row.openBecause}>
        {state}
      </td>
    </tr>
  );
}
