import type { Cell } from '../show/csv.ts';
import { significant } from '../show/number.ts';

const cellText = (cell: Cell): string => (typeof cell === 'string' ? cell : significant(cell));

/** Rows of numbers and words, head first. */
export function NumberTable({
  title,
  rows,
}: {
  readonly title: string;
  readonly rows: readonly (readonly Cell[])[];
}) {
  const [head = [], ...body] = rows;
  // a column of words reads from the left
  const words = head.map((_, k) => body.some((row) => typeof row[k] === 'string' && row[k] !== ''));
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className="scroll" tabIndex={0} aria-label={`${title}, as a table`}>
      <table>
        <caption>{title}</caption>
        <thead>
          <tr>
            {head.map((cell, k) => (
              <th scope="col" key={String(cell)} className={words[k] ? 'word' : undefined}>
                {cell}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {body.map((row, line) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: lines of a table have no name but their place
            <tr key={line}>
              {row.map((cell, k) =>
                k === 0 ? (
                  // biome-ignore lint/suspicious/noArrayIndexKey: nor have cells
                  <th scope="row" key={k}>
                    {cellText(cell)}
                  </th>
                ) : (
                  // biome-ignore lint/suspicious/noArrayIndexKey: nor have cells
                  <td key={k} className={words[k] ? 'word' : undefined}>
                    {cellText(cell)}
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
