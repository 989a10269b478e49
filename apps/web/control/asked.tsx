import type { LedgerRow } from '@striderule/engine';
import type { Known } from '../design/use-ledger.ts';
import { MarginLine } from '../ledger/margin-line.tsx';
import { scopeText } from '../ledger/row-text.ts';
import { Section } from '../sections/section.tsx';

interface AskedProps {
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  readonly toRow: (id: string) => void;
}

/** What the study asks of control, line by line. */
export function Asked({ ledger, known, toRow }: AskedProps) {
  const rows = ledger.filter(({ chapter }) => chapter.startsWith('control.md'));
  return (
    <Section title="What the study asks of control">
      {rows.length === 0 ? (
        <p className="empty">
          Nothing yet. Write a line into <code>requirements.yaml</code>, such as <code>swingHold</code> with{' '}
          <code>atMost: 0.001</code>.
        </p>
      ) : (
        <table className="ledger margins asked" aria-label="Requirements of control">
          <thead>
            <tr>
              <th scope="col">Of the design as it stands, at the stated gains</th>
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
          </tbody>
        </table>
      )}
    </Section>
  );
}
