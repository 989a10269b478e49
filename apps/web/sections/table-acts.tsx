import { useState } from 'react';
import { type Cell, csvText } from '../show/csv.ts';
import { markdownText } from '../show/markdown.ts';
import { saveFile } from '../show/save-file.ts';

interface TableActsProps {
  readonly what: string;
  readonly fileName: string;
  readonly rows: () => readonly (readonly Cell[])[];
}

const tabbed = (rows: readonly (readonly Cell[])[]): string =>
  rows
    .map((row) =>
      row.map((cell) => (cell === null || cell === undefined || Number.isNaN(cell) ? '' : cell)).join('\t'),
    )
    .join('\n');

/** Copy a table for a spreadsheet or a text, or save it. */
export function TableActs({ what, fileName, rows }: TableActsProps) {
  const [said, setSaid] = useState('');
  const copy = (write: typeof tabbed, as: string) => () => {
    navigator.clipboard.writeText(write(rows())).then(
      () => setSaid(`Copied${as}.`),
      () => setSaid('The browser refused to copy: save as CSV instead.'),
    );
  };
  return (
    <span className="acts">
      <button type="button" className="act" onClick={copy(tabbed, '')}>
        Copy {what}
      </button>
      <button
        type="button"
        className="act"
        aria-label={`Copy ${what} as Markdown`}
        onClick={copy(markdownText, ' as Markdown')}
      >
        as Markdown
      </button>
      <button type="button" className="act" onClick={() => saveFile(fileName, csvText(rows()), 'text/csv')}>
        Save {what} as CSV
      </button>
      <span role="status">{said}</span>
    </span>
  );
}
