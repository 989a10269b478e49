import type { Demands } from '@striderule/engine';
import type { Known } from '../design/use-ledger.ts';
import type { ShownRow } from '../ledger/row-text.ts';
import type { PageName } from '../place.ts';

/** What a stage is called. */
export const STAGE: Readonly<Record<PageName, string>> = {
  demand: 'Demand',
  drive: 'Drive',
  control: 'Control',
  walk: 'Walk',
  evidence: 'Evidence',
};

const count = (n: number, word: string): string[] => (n === 0 ? [] : [`${n} ${word}`]);

/** Where a stage stands, in words. The demand has no requirements of its own: it says what is known of the tasks. */
export function stageState(
  page: PageName,
  demands: Demands,
  ledger: readonly ShownRow[],
  {
    known,
    lost = false,
    unsaved,
  }: { readonly known: Known; readonly lost?: boolean; readonly unsaved: readonly PageName[] },
): string {
  if (page === 'demand') {
    const kinds = Object.values(demands).map(({ kind }) => kind);
    const of = (kind: string) => kinds.filter((k) => k === kind).length;
    return [
      ...count(of('stride'), of('stride') === 1 ? 'curve' : 'curves'),
      ...count(of('peaks'), 'peaks only'),
    ].join(', ');
  }
  const rows =
    page === 'evidence' ? ledger : ledger.filter(({ chapter }) => chapter.startsWith(`${page}.md`));
  if (rows.length === 0) return 'nothing asked yet';
  // a walk has no interval to wait for; one that is not walked says so
  const told = (row: ShownRow) =>
    row.pending === undefined || row.state === 'stale' ? row.state : 'to walk';
  const of = (state: string) => rows.filter((row) => told(row) === state).length;
  const whole = known === 'whole' || rows.every(({ walk }) => walk !== undefined);
  const later = lost ? 'not known' : 'to come';
  // a value that is outside is not met whatever its interval; of the rest only the interval tells
  const changing = unsaved.includes(page);
  const states = whole
    ? (['not met', 'open', 'stale', 'to walk'] as const).flatMap((state) => count(of(state), state))
    : known === 'values'
      ? // while a slide is drawn along, words that come and go would fold the line
        [...count(of('not met'), 'not met'), ...(changing ? [] : [`intervals ${later}`])]
      : [`${rows.length} ${later}`];
  const words = states.length === 0 && (whole || !changing) ? [`${rows.length} met`] : states;
  return [...words, ...(changing ? ['unsaved'] : [])].join(', ');
}
