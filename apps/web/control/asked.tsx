import type { LedgerRow } from '@striderule/engine';
import { MarginLine } from '../ledger/margin-line.tsx';
import { Section } from '../sections/section.tsx';

interface AskedProps {
  readonly ledger: readonly LedgerRow[];
  /** Whether the intervals are worked out. */
  readonly whole: boolean;
  readonly toRow: (id: string) => void;
}

/** What the study asks of control, line by line. */
export function Asked({ ledger, whole, toRow }: AskedProps) {
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
              <th scope="col">Asked of the leg file as it stands, gains stated</th>
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
                resting={whole}
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
