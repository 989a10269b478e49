import type { DrivenJoint, LedgerRow, StudyInput } from '@striderule/engine';
import { useEffect, useMemo, useState } from 'react';
import { askLedger } from '../design/ask-ledger.ts';
import type { LiveRatio } from '../design/live-ratio.ts';
import { MarginLine } from '../ledger/margin-line.tsx';
import { movedByRatio } from './moved-by-ratio.ts';

interface MarginsProps {
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  /** Of the design that the ratio slides from. */
  readonly input: StudyInput;
  /** Its lines, and whether their intervals are worked out. */
  readonly rows: readonly LedgerRow[];
  readonly whole: boolean;
  /** The same lines of the leg file. */
  readonly saved: readonly LedgerRow[];
  /** Leads to the line's inputs, formula and reason. */
  readonly toRow: (id: string) => void;
}

/**
 * What the ratio moves, line by line. While it moves only values are known: outside its bound a line is not met whatever its interval,
 * inside it says no more than that. At rest the intervals come, and with them met or open.
 */
export function Margins({ joint, live, input, rows, whole, saved, toRow }: MarginsProps) {
  const own = useMemo(() => movedByRatio(rows, joint), [rows, joint]);
  const before = useMemo(() => movedByRatio(saved, joint), [saved, joint]);
  const [moved, setMoved] = useState<{ of: LiveRatio; rows: readonly LedgerRow[] }>();
  useEffect(() => {
    const only = movedByRatio(saved, joint).map(({ requirement }) => requirement.id);
    const asker = askLedger(input);
    const start = live.at().ratio;
    const stop = live.follow(({ ratio }) => {
      // where it began, and nothing is asked before the first move
      if (ratio === start) setMoved(undefined);
      else
        asker.ask({ ratio: { joint, ratio }, only, intervals: false }, (got) => {
          if (live.at().ratio !== start) setMoved({ of: live, rows: got });
        });
    });
    return () => {
      stop();
      asker.end();
    };
  }, [live, input, joint, saved]);
  const moving = moved !== undefined && moved.of === live;
  const shown = moving ? moved.rows : own;
  const resting = whole && !moving;
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
          {shown.map((row, k) => (
            <MarginLine
              key={row.requirement.id}
              row={row}
              resting={resting}
              scope={row.requirement.task ?? ''}
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
