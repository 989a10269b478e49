import {
  changedStudy,
  type Demands,
  evaluateStudy,
  Fault,
  type FaultData,
  type LedgerRow,
  type StudyChange,
  type StudyInput,
  studyDemands,
} from '@striderule/engine';

/** What is asked of a study's ledger. */
export interface LedgerQuestion extends StudyChange {
  /** Requirements asked about; left out: all. */
  readonly only?: readonly string[];
  /** Whether intervals are wanted, or values alone. */
  readonly intervals: boolean;
}

/** The lines asked for, or what the engine refuses. */
export type LedgerAnswer =
  | { readonly rows: readonly LedgerRow[] }
  | { readonly faults: readonly FaultData[] };

/** Demands do not hang on the change: once for each study. */
const demandsOf = new WeakMap<StudyInput, Demands>();

export function answerLedger(
  input: StudyInput,
  { only, intervals, ...change }: LedgerQuestion,
): LedgerAnswer {
  const design = changedStudy(input, change);
  try {
    const demands = demandsOf.get(input) ?? studyDemands(input);
    demandsOf.set(input, demands);
    const asked = {
      ...design,
      ...(only !== undefined && { requirements: design.requirements.filter((r) => only.includes(r.id)) }),
      ...(!intervals && { spreads: [] }),
    };
    return { rows: evaluateStudy(asked, demands).ledger };
  } catch (error) {
    if (error instanceof Fault) return { faults: error.faults };
    throw error;
  }
}
