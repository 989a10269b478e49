import type { ReactNode } from 'react';

interface MarginTableProps {
  readonly label: string;
  /** Heads the column of requirements. */
  readonly head: string;
  /** Of the table, beside its own. */
  readonly className?: string;
  /** A MarginLine each. */
  readonly children: ReactNode;
}

/** Requirements of one stage: asked, now, margin and state. */
export function MarginTable({ label, head, className = '', children }: MarginTableProps) {
  return (
    <table className={`ledger margins ${className}`} aria-label={label}>
      <thead>
        <tr>
          <th scope="col">{head}</th>
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
      <tbody>{children}</tbody>
    </table>
  );
}
