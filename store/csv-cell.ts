import type { FaultData, FaultPlace } from '@striderule/engine';

const MISSING = /^(|nan|na|n\/a|null|none|-+|missing|#n\/a|\?)$/i;
/** Lines in which a file still describes itself, more likely than not. */
const HEAD_LINES = 4;

/** What is wrong with a cell in which a number was wanted; `text` without the blanks round it. */
export function cellFault(text: string, decimal: '.' | ',', place: FaultPlace): FaultData {
  const fault = (code: string, what: string, mend: string): FaultData => ({
    code: `store.csv-${code}`,
    what,
    mend,
    place,
  });
  const says = text.length > 40 ? `${text.slice(0, 40)}…` : text;
  if (MISSING.test(text)) {
    return fault(
      'missing-value',
      text === '' ? 'this cell is empty' : `this cell is \`${text}\``,
      'Restore the value, or name its stride under `leaveOut:` of the recipe; nothing is filled in',
    );
  }
  const other = decimal === '.' ? ',' : '.';
  if (new RegExp(`^[+-]?\\d*\\${other}\\d+([eE][+-]?\\d+)?$`).test(text)) {
    return fault(
      'decimal-mark',
      `\`${says}\` has a decimal ${other === ',' ? 'comma' : 'point'}`,
      `Write \`decimal: "${other}"\` in the recipe`,
    );
  }
  return fault(
    'not-a-number',
    `\`${says}\` is not a number`,
    (place.line ?? 0) <= HEAD_LINES
      ? 'Correct it; if this line still belongs to the head, give `dataLine:`'
      : 'Correct it',
  );
}
