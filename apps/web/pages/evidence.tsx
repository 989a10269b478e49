import type { LedgerRow } from '@striderule/engine';
import type { Drafting } from '../design/use-draft.ts';
import type { Known } from '../design/use-ledger.ts';
import { Ledger } from '../ledger/ledger.tsx';

export interface EvidenceProps {
  readonly drafting: Drafting;
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  /** Requirement whose line is opened at once. */
  readonly row: string | undefined;
}

/** Every requirement of the study, with what is known about it. */
export default function Evidence({ drafting, ledger, known, row }: EvidenceProps) {
  const { leg, wearer } = drafting.draft.input;
  return (
    <main>
      <h1 className="ask">
        Which requirements does {leg.name} meet for {wearer.code}, by how much, and on what ground?
      </h1>
      <Ledger rows={ledger} known={known} open={row} drafting={drafting} />
    </main>
  );
}
