import {
  type Demands,
  evaluateStudy,
  type LedgerRow,
  type StudyInput,
  type StudyResult,
} from '@striderule/engine';
import { useEffect, useMemo, useState } from 'react';
import { askLedger } from './ask-ledger.ts';

/** A design with its ledger, first with values alone, a moment later with intervals too. */
export interface Worked {
  /** Demands, loads and figures; the same record when the intervals have come. */
  readonly result: StudyResult;
  readonly ledger: readonly LedgerRow[];
  /** False while the intervals are worked out: a state of `met` then only says that the value is inside its bound. */
  readonly whole: boolean;
}

/** Evaluates a study: values at once, intervals away from the page. */
export function useLedger(input: StudyInput, demands: Demands): Worked {
  const result = useMemo(() => evaluateStudy({ ...input, spreads: [] }, demands), [input, demands]);
  const [got, setGot] = useState<{ of: StudyInput; rows: readonly LedgerRow[] }>();
  useEffect(() => {
    const asker = askLedger(input);
    asker.ask({ intervals: true }, (rows) => setGot({ of: input, rows }));
    return asker.end;
  }, [input]);
  const whole = got !== undefined && got.of === input;
  return { result, ledger: whole ? got.rows : result.ledger, whole };
}
