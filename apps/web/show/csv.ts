export type Cell = string | number | null | undefined;

/** One field by RFC 4180: quoted where it must be. A missing number is an empty field, never a zero. */
function field(cell: Cell): string {
  if (cell === null || cell === undefined || (typeof cell === 'number' && !Number.isFinite(cell))) return '';
  const text = String(cell);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** Rows as CSV by RFC 4180, with a byte-order mark so that spreadsheets read the units' signs. */
export function csvText(rows: readonly (readonly Cell[])[]): string {
  return `\uFEFF${rows.map((row) => row.map(field).join(',')).join('\r\n')}\r\n`;
}
