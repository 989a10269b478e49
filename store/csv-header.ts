import { type FaultData, nearestName } from '@striderule/engine';

/** Cells of one line; a quoted cell may hold delimiters, `""` is a quote in it. Blanks round a cell are no part of it. */
export function splitLine(line: string, delimiter: string): string[] {
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < line.length; i++) {
    const c = line[i]!;
    if (c === '"') {
      if (quoted && line[i + 1] === '"') cell += line[++i];
      else quoted = !quoted;
    } else if (c === delimiter && !quoted) {
      cells.push(cell.trim());
      cell = '';
    } else cell += c;
  }
  cells.push(cell.trim());
  return cells;
}

const OTHERS = [
  [',', 'a comma'],
  [';', 'a semicolon'],
  ['\t', 'a tab'],
] as const;

const quoted = (names: readonly string[]) => {
  const shown = names.slice(0, 20).map((name) => `\`${name}\``);
  return names.length > 20 ? `${shown.join(', ')} … (${names.length} columns)` : shown.join(', ');
};

/** The one name that holds the wanted one, as when a unit was left out. */
function holding(wanted: string, names: readonly string[]): string | undefined {
  const found = names.filter((name) => name.toLowerCase().includes(wanted.toLowerCase()));
  return found.length === 1 ? found[0] : undefined;
}

/**
 * Which wanted value each cell of a row fills, by the cell's place; −1 none. A wanted column is a name, or a place from 1.
 * Every fault of the header at once: missing (with the nearest name), doubled, asked for twice, another delimiter.
 */
export function mapColumns(
  names: readonly string[],
  columns: readonly (string | number)[],
  delimiter: string,
  line: string,
  place: { readonly file: string; readonly line: number },
): { wanted: Int32Array; faults: FaultData[] } {
  const wanted = new Int32Array(names.length).fill(-1);
  const faults: FaultData[] = [];
  const fault = (code: string, what: string, mend: string) =>
    faults.push({ code: `store.csv-${code}`, what, mend, place });
  if (names.length === 1) {
    const other = OTHERS.find(([mark]) => mark !== delimiter && line.includes(mark));
    if (other !== undefined) {
      const word = other[0] === '\t' ? 'tab' : `"${other[0]}"`;
      fault(
        'delimiter',
        `this line has one column, and ${other[1]} in it`,
        `Write \`delimiter: ${word}\` in the recipe`,
      );
      return { wanted, faults };
    }
  }
  columns.forEach((column, k) => {
    const at: number[] = [];
    if (typeof column === 'number') {
      if (column <= names.length) at.push(column - 1);
    } else
      names.forEach((name, i) => {
        if (name === column) at.push(i);
      });
    if (at.length === 0) {
      const near =
        typeof column === 'string' ? (nearestName(column, names) ?? holding(column, names)) : undefined;
      fault(
        'missing-column',
        typeof column === 'number'
          ? `there is no column ${column}, this line has ${names.length}`
          : `there is no column \`${column}\``,
        near === undefined ? `This file has: ${quoted(names)}` : `Did you mean \`${near}\`?`,
      );
    } else if (at.length > 1) {
      fault(
        'doubled-column',
        `the column \`${column}\` stands ${at.length} times, at places ${at.map((i) => i + 1).join(', ')}`,
        'Name it by its place in the recipe, such as `column: 3`',
      );
    } else if (wanted[at[0]!] !== -1) {
      fault(
        'column-twice',
        `the recipe maps \`${names[at[0]!]}\` twice`,
        'Give each quantity a column of its own',
      );
    } else wanted[at[0]!] = k;
  });
  return { wanted, faults };
}
