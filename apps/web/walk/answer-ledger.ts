import { type LedgerWalk, type LedgerWalked, openLedgerWalk, type StudyInput } from '@striderule/engine';

/** What the ledger of a study must have walked. */
export interface LedgerAsk {
  readonly input: StudyInput;
  readonly walks: readonly LedgerWalk[];
}

/** One of them, done. */
export interface LedgerWalkAnswer {
  readonly walk: LedgerWalk;
  readonly walked: LedgerWalked;
}

/** Walks one after the other, and tells of each. */
export function answerLedger({ input, walks }: LedgerAsk, tell: (answer: LedgerWalkAnswer) => void): void {
  for (const walk of walks) {
    const open = openLedgerWalk(input, walk);
    while (open.next() < 1);
    tell({ walk, walked: open.walked() });
  }
}
