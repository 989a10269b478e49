import type { StudyResult } from '@striderule/engine';
import type { PageName } from '../place.ts';

/** What a stage is called. */
export const STAGE: Readonly<Record<PageName, string>> = {
  demand: 'Demand',
  drive: 'Drive',
  evidence: 'Evidence',
};

const count = (n: number, word: string): string[] => (n === 0 ? [] : [`${n} ${word}`]);

/** Where a stage stands, in words. The demand has no requirements of its own: it says what is known of the tasks. */
export function stageState(page: PageName, { demands, ledger }: StudyResult, unsaved: boolean): string {
  if (page === 'demand') {
    const kinds = Object.values(demands).map(({ kind }) => kind);
    const of = (kind: string) => kinds.filter((k) => k === kind).length;
    return [
      ...count(of('stride'), of('stride') === 1 ? 'curve' : 'curves'),
      ...count(of('peaks'), 'peaks only'),
    ].join(', ');
  }
  const rows = page === 'drive' ? ledger.filter(({ chapter }) => chapter.startsWith('drive.md')) : ledger;
  if (rows.length === 0) return 'nothing asked yet';
  const states = (['not met', 'open', 'stale'] as const).flatMap((state) =>
    count(rows.filter((row) => row.state === state).length, state),
  );
  const words = states.length === 0 ? [`${rows.length} met`] : states;
  return [...words, ...(page === 'drive' && unsaved ? ['unsaved'] : [])].join(', ');
}
