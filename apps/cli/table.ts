/** One column of a table: what stands in it, and its unit on the line below. */
export interface Column {
  readonly head: string;
  readonly unit?: string;
  readonly align?: 'left' | 'right';
}

const width = (text: string): number => [...text].length;
const pad = (text: string, to: number, align: 'left' | 'right'): string => {
  const space = ' '.repeat(Math.max(0, to - width(text)));
  return align === 'left' ? text + space : space + text;
};

/** Aligned columns two spaces apart, the unit below the head; numbers to the right unless the column says left. */
export function table(columns: readonly Column[], rows: readonly (readonly string[])[]): string {
  const heads = [columns.map((column) => column.head)];
  if (columns.some((column) => column.unit)) heads.push(columns.map((column) => column.unit ?? ''));
  const all = [...heads, ...rows];
  const widths = columns.map((_, k) => Math.max(...all.map((row) => width(row[k] ?? ''))));
  return all
    .map((row) =>
      columns
        .map((column, k) => pad(row[k] ?? '', widths[k]!, column.align ?? 'right'))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

/** The same cells as CSV (RFC 4180 quoting, newline ends): plain numbers with point and ASCII minus, empty where missing. */
export function csv(
  head: readonly string[],
  rows: readonly (readonly (string | number | null | undefined)[])[],
): string {
  const cell = (value: string | number | null | undefined): string => {
    if (value === null || value === undefined || (typeof value === 'number' && !Number.isFinite(value)))
      return '';
    const text = String(value);
    return /[",\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  };
  return [head, ...rows].map((row) => `${row.map(cell).join(',')}\n`).join('');
}
