import type { LedgerRow, StudyInput } from '@striderule/engine';
import { Ledger } from '../ledger/ledger.tsx';

interface EvidenceProps {
  readonly input: StudyInput;
  readonly ledger: readonly LedgerRow[];
  /** Whether the intervals are worked out. */
  readonly whole: boolean;
  /** Requirement whose line is opened at once. */
  readonly row: string | undefined;
}

/** Every requirement of the study, with what is known about it. */
export default function Evidence({ input, ledger, whole, row }: EvidenceProps) {
  const { leg, wearer } = input;
  return (
    <main>
      <h1 className="ask">
        Which requirements does {leg.name} meet for {wearer.code}, by how much, and on what ground?
      </h1>
      <Ledger rows={ledger} whole={whole} open={row} />
    </main>
  );
}
