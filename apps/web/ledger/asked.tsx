import type { LedgerRow } from '@striderule/engine';
import type { ReactNode } from 'react';
import type { Known } from '../design/use-ledger.ts';
import { Section } from '../sections/section.tsx';
import { MarginLine } from './margin-line.tsx';
import { MarginTable } from './margin-table.tsx';
import { NotWorkedOut } from './not-worked-out.tsx';
import { scopeText } from './row-text.ts';

interface AskedProps {
  /** A stage, and its chapter. */
  readonly stage: string;
  /** What is judged. */
  readonly head: string;
  /** What stands where nothing is asked. */
  readonly empty: ReactNode;
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  readonly toRow: (id: string) => void;
}

/** What the study asks of one stage, line by line. */
export function Asked({ stage, head, empty, ledger, known, toRow }: AskedProps) {
  const rows = ledger.filter(({ chapter }) => chapter.startsWith(`${stage}.md`));
  return (
    <Section title={`What the study asks of ${stage === 'walk' ? 'the walk' : stage}`}>
      {rows.length === 0 ? (
        <p className="empty">{empty}</p>
      ) : (
        <>
          <NotWorkedOut walked={rows.some(({ walk }) => walk !== undefined)} />
          <MarginTable label={`Requirements of ${stage}`} head={head} className="of-stage">
            {rows.map((row) => (
              <MarginLine
                key={row.requirement.id}
                row={row}
                known={known}
                scope={scopeText(row)}
                toRow={toRow}
                ghost={row.predicted}
              />
            ))}
          </MarginTable>
        </>
      )}
    </Section>
  );
}
