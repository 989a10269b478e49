import type { Cell } from './csv.ts';

const text = (cell: Cell): string =>
  cell === null || cell === undefined || Number.isNaN(cell)
    ? ''
    : String(cell)
        .replaceAll('\\', '\\\\')
        .replaceAll('|', '\\|')
        .replaceAll(/\s*\r?\n\s*/g, ' ');

/** Rows, head first, as a table in Markdown; columns of numbers stand to the right. A missing number is an empty cell. */
export function markdownText([head = [], ...rows]: readonly (readonly Cell[])[]): string {
  const columns = Math.max(head.length, ...rows.map((row) => row.length));
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  const cellsOf = (row: readonly Cell[]) => Array.from({ length: columns }, (_, k) => text(row[k]));
  const numbers = Array.from({ length: columns }, (_, k) => {
    const known = rows.map((row) => row[k]).filter((cell) => text(cell) !== '');
    return known.length > 0 && known.every((cell) => typeof cell === 'number');
  });
  return `${[
    line(cellsOf(head)),
    line(numbers.map((right) => (right ? '---:' : '---'))),
    ...rows.map((row) => line(cellsOf(row))),
  ].join('\n')}\n`;
}
