import { type Demands, type DrivenJoint, evaluateStudy, type LedgerRow, shownUnit } from '@striderule/engine';
import { useEffect, useMemo, useState } from 'react';
import type { LiveRatio } from '../design/live-ratio.ts';
import { MarginBar } from '../ledger/margin-bar.tsx';
import { boundText, valueText } from '../ledger/row-text.ts';
import { movedByRatio } from './moved-by-ratio.ts';
import { nominalRow } from './nominal-row.ts';

interface MarginsProps {
  readonly demands: Demands;
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  /** Lines of the design as it stands, intervals and all. */
  readonly rows: readonly LedgerRow[];
  /** The same lines of the leg file. */
  readonly saved: readonly LedgerRow[];
  /** Leads to the line's inputs, formula and reason. */
  readonly toRow: (id: string) => void;
}

/** ms without a move until the intervals are worked out: they cost thirty designs. */
const REST = 140;

interface Shown {
  readonly rows: readonly LedgerRow[];
  readonly resting: boolean;
}

/**
 * What the ratio moves, line by line. While it moves only the nominal value is known: outside its bound a line is not met whatever its
 * interval, inside it says no more than that. At rest the intervals come, and with them met or open.
 */
export function Margins({ demands, joint, live, rows, saved, toRow }: MarginsProps) {
  const own = useMemo(() => movedByRatio(rows, joint), [rows, joint]);
  const before = useMemo(() => movedByRatio(saved, joint), [saved, joint]);
  const [shown, show] = useState<Shown>({ rows: own, resting: true });
  useEffect(() => {
    const start = live.at().ratio;
    const requirements = own.map(({ requirement }) => requirement);
    let timer: ReturnType<typeof setTimeout> | undefined;
    const stop = live.follow(({ ratio, input, design }) => {
      clearTimeout(timer);
      if (ratio === start) {
        show({ rows: own, resting: true });
        return;
      }
      show({ rows: own.map((row) => nominalRow(row, input, design, joint)), resting: false });
      const asked = { ...input, requirements };
      timer = setTimeout(() => show({ rows: evaluateStudy(asked, demands).ledger, resting: true }), REST);
    });
    return () => {
      clearTimeout(timer);
      stop();
    };
  }, [own, live, demands, joint]);
  if (own.length === 0)
    return (
      <p className="empty">
        No requirement of this study is moved by the {joint}’s ratio. Write one into{' '}
        <code>requirements.yaml</code>, such as <code>torqueMargin</code> with <code>atLeast: 1.1</code>.
      </p>
    );
  return (
    <div>
      <table className="ledger margins" aria-label={`Requirements that the ratio of the ${joint} moves`}>
        <thead>
          <tr>
            <th scope="col">What the ratio moves</th>
            <th scope="col">asked</th>
            <th scope="col">now</th>
            <th scope="col" className="barred">
              limit
            </th>
            <th scope="col" className="word">
              state
            </th>
          </tr>
        </thead>
        <tbody>
          {shown.rows.map((row, k) => (
            <Line
              key={row.requirement.id}
              row={row}
              resting={shown.resting}
              toRow={toRow}
              ghost={before[k]?.predicted ?? null}
            />
          ))}
        </tbody>
      </table>
      <p className="note">
        While the ratio moves only values are known: <b>inside</b> or <b>not met</b>. At rest their 5th to
        95th percentile decides between <b>met</b> and <b>open</b>. Triangle: as saved. A line’s name leads to
        its inputs and formula.
      </p>
    </div>
  );
}

function Line({
  row,
  resting,
  ghost,
  toRow,
}: {
  readonly toRow: (id: string) => void;
  readonly row: LedgerRow;
  readonly resting: boolean;
  readonly ghost: number | null;
}) {
  const { unit } = shownUnit(row.unit);
  const { id, task } = row.requirement;
  const state = resting || row.state !== 'met' ? row.state : 'inside';
  const parts = [task, unit === '×' ? '' : unit].filter((part) => part !== undefined && part !== '');
  return (
    <tr data-margin={id}>
      <th scope="row">
        <a
          href={`#page=evidence&row=${id}`}
          onClick={(event) => {
            if (event.ctrlKey || event.metaKey || event.shiftKey) return;
            event.preventDefault();
            toRow(id);
          }}
        >
          {row.title}
        </a>{' '}
        <span className="quiet">{parts.join(', ').replace(' peak phase', '')}</span>
      </th>
      <td>{boundText(row)}</td>
      <td className="strong">
        {valueText(row, row.predicted)}
        <span className="sr">{ghost === row.predicted ? '' : `, saved ${valueText(row, ghost)}`}</span>
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
