import type { DrivenJoint, LedgerRow, StudyChange, StudyInput } from '@striderule/engine';
import { useEffect, useMemo, useState } from 'react';
import { askLedger } from '../design/ask-ledger.ts';
import type { LiveRatio } from '../design/live-ratio.ts';
import type { Known } from '../design/use-ledger.ts';
import { MarginLine } from '../ledger/margin-line.tsx';
import { MarginTable } from '../ledger/margin-table.tsx';
import { NotWorkedOut } from '../ledger/not-worked-out.tsx';
import type { Metrics } from '../read-study.ts';
import { rowsMoved } from './rows-moved.ts';

interface MarginsProps {
  readonly joint: DrivenJoint;
  readonly metrics: Metrics;
  readonly live: LiveRatio;
  /** The study, and in what the design that the ratio slides from differs from it. */
  readonly study: StudyInput;
  readonly change: StudyChange;
  /** Lines of that design. */
  readonly rows: readonly LedgerRow[];
  readonly known: Known;
  /** The same lines of the leg file. */
  readonly saved: readonly LedgerRow[];
  /** Leads to the line's inputs, formula and reason. */
  readonly toRow: (id: string) => void;
}

/**
 * What the ratio moves, line by line. While it moves only values are known: outside its bound a line is not met whatever its interval,
 * inside it says no more than that. At rest the intervals come, and with them met or open.
 */
export function Margins({ joint, metrics, live, study, change, rows, known, saved, toRow }: MarginsProps) {
  const own = useMemo(() => rowsMoved(rows, joint, metrics), [rows, joint, metrics]);
  const ids = own.map(({ requirement }) => requirement.id).join(' ');
  const only = useMemo(() => ids.split(' '), [ids]);
  const before = useMemo(() => rowsMoved(saved, joint, metrics), [saved, joint, metrics]);
  const [moved, setMoved] = useState<{ of: LiveRatio; ratio: number; rows: readonly LedgerRow[] }>();
  useEffect(() => {
    const asker = askLedger(study);
    const start = live.at().ratio;
    const stop = live.follow(({ ratio }) => {
      // where it began; nothing is asked before the first move
      if (ratio === start) {
        setMoved((was) => (was?.of === live ? undefined : was));
        return;
      }
      const question = { ...change, ratios: { ...change.ratios, [joint]: ratio }, only, intervals: false };
      asker.ask(question, (got) => {
        if ('rows' in got && live.at().ratio !== start) setMoved({ of: live, ratio, rows: got.rows });
      });
    });
    return () => {
      stop();
      asker.end();
    };
  }, [live, study, change, joint, only]);
  // just let go: the last of the slide holds until the lines of the new design have come
  const settling = known === 'nothing' && moved?.ratio === live.at().ratio;
  const moving = moved !== undefined && (moved.of === live || settling);
  const shown = moving ? moved.rows : own;
  const shows: Known = moving ? 'values' : known;
  if (own.length === 0)
    return (
      <p className="empty">
        No requirement of this study is moved by the {joint}’s ratio. Write one into{' '}
        <code>requirements.yaml</code>, such as <code>torqueMargin</code> with <code>atLeast: 1.1</code>.
      </p>
    );
  return (
    <div>
      <NotWorkedOut />
      <MarginTable label={`Requirements that the ratio of the ${joint} moves`} head="What the ratio moves">
        {shown.map((row) => (
          <MarginLine
            key={row.requirement.id}
            row={row}
            known={shows}
            scope={row.requirement.task ?? ''}
            toRow={toRow}
            ghost={before.find((was) => was.requirement.id === row.requirement.id)?.predicted ?? null}
          />
        ))}
      </MarginTable>
      <p className="note">
        While the ratio moves only values are known: <b>inside</b> or <b>not met</b>. At rest their 5th to
        95th percentile decides between <b>met</b> and <b>open</b>. Triangle: as saved. A line’s name leads to
        its inputs and formula.
      </p>
    </div>
  );
}
