import { Fault, type LedgerRow, type Requirement, type StudyInput } from '@striderule/engine';
import { useCallback, useEffect, useMemo, useState } from 'react';
import { atRest } from '../at-rest.ts';
import type { Metrics } from '../read-study.ts';
import type { LedgerAnswer } from './answer-ledger.ts';
import { askLedger } from './ask-ledger.ts';
import type { Draft } from './use-draft.ts';

/**
 * How much is worked out of a ledger: nothing yet, values alone (a state of `met` then only says that the value is inside its bound),
 * or the whole with its intervals. `lost`: nothing, and nothing comes before it is asked again.
 */
export type Known = 'nothing' | 'values' | 'whole' | 'lost';

/** A design's ledger: values a moment after the page, intervals a moment later. */
export interface Worked {
  /** One line for each requirement; where nothing is known yet, numbers as they were last, or none. */
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  /** Values of the study as its files say it; empty until they are known. */
  readonly saved: readonly LedgerRow[];
  /** Asks again; only where what works the ledger out, or its intervals, could not be read or run. */
  readonly again?: () => void;
}

interface Got {
  readonly of: StudyInput;
  readonly answer: LedgerAnswer;
  readonly known: Known;
}

const NONE: readonly LedgerRow[] = [];

/** A line of which nothing is known yet but what it asks. */
function coming(requirement: Requirement, metrics: Metrics, openBecause: string): LedgerRow {
  const { title, unit, formula, chapter, cautions } = metrics[requirement.metric]!;
  return {
    requirement,
    title,
    unit,
    predicted: null,
    interval: null,
    measured: null,
    shown: null,
    margin: null,
    state: 'open',
    openBecause,
    formula,
    chapter,
    inputs: [],
    cautions,
  };
}

/** Lines that ask what is asked now, with the numbers of the last answer until the next one comes. */
function meanwhile(
  requirements: readonly Requirement[],
  last: readonly LedgerRow[],
  metrics: Metrics,
  lost: boolean,
): readonly LedgerRow[] {
  const because = lost ? 'what works it out could not be read' : 'it is being worked out';
  return requirements.map((requirement) => {
    const row = last.find(
      (each) => each.requirement.id === requirement.id && each.requirement.metric === requirement.metric,
    );
    return row === undefined ? coming(requirement, metrics, because) : { ...row, requirement };
  });
}

function rowsOf(answer: LedgerAnswer): readonly LedgerRow[] {
  if ('faults' in answer) throw new Fault(answer.faults);
  return answer.rows;
}

/** Works out the ledger of a draft away from the page. Faults: what the engine refuses, as it answers. */
export function useLedger(saved: StudyInput, { input, change }: Draft, metrics: Metrics): Worked {
  const [before, setBefore] = useState<Got>();
  const [got, setGot] = useState<Got>();
  const [lost, setLost] = useState(false);
  const [turn, setTurn] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another turn asks the same again
  useEffect(() => {
    const asker = askLedger(saved);
    // not before the page answers: a worker that starts takes a processor, and most of a second
    const leave = atRest(() =>
      asker.ask({ intervals: false }, (answer) => {
        if ('lost' in answer) setLost(true);
        else setBefore({ of: saved, answer, known: 'values' });
      }),
    );
    return () => {
      leave();
      asker.end();
    };
  }, [saved, turn]);
  const ready = before?.of === saved;
  // what is seen first comes first: intervals wait for the values
  // biome-ignore lint/correctness/useExhaustiveDependencies: another turn asks the same again
  useEffect(() => {
    if (!ready) return;
    const asker = askLedger(saved);
    const ask = (known: 'values' | 'whole') =>
      asker.ask({ ...change, intervals: known === 'whole' }, (answer) => {
        setLost('lost' in answer);
        if ('lost' in answer) return;
        setGot({ of: input, answer, known });
        if (known === 'values') ask('whole');
      });
    ask(input === saved ? 'whole' : 'values');
    return asker.end;
  }, [saved, ready, input, change, turn]);
  const again = useCallback(() => {
    setLost(false);
    setTurn((turns) => turns + 1);
  }, []);
  const latest = got?.of === input ? got : input === saved && ready ? before : undefined;
  const { answer: old } = got ?? before ?? {};
  const last = old !== undefined && 'rows' in old ? old.rows : NONE;
  const ledger = useMemo(
    () => (latest === undefined ? meanwhile(input.requirements, last, metrics, lost) : rowsOf(latest.answer)),
    [latest, last, input, metrics, lost],
  );
  return {
    ledger,
    known: latest?.known ?? (lost ? 'lost' : 'nothing'),
    saved: ready ? rowsOf(before.answer) : NONE,
    ...(lost && { again }),
  };
}
