import {
  type KeptWalks,
  type LedgerRow,
  type LedgerWalked,
  ledgerWalkName,
  ledgerWalkReads,
  ledgerWalks,
  type StudyInput,
  withWalks,
} from '@striderule/engine';
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { ShownRow } from '../ledger/row-text.ts';
import { askLedgerWalks } from '../walk/ask-ledger-walks.ts';

/** ms for which a design has stood before it is walked. Our choice: longer than between two steps of a slide. */
const SETTLED = 500;

/** What one walk came to, and of what. */
export interface WalkedOf {
  readonly reads: Readonly<Record<string, unknown>>;
  readonly walked: LedgerWalked;
}

type Kept = ReadonlyMap<string, WalkedOf>;

const texts = new WeakMap<object, string>();

/** The same for parts that say the same, also where the study was read anew. */
function textOf(part: unknown): string {
  if (typeof part !== 'object' || part === null) return String(part);
  const known = texts.get(part) ?? JSON.stringify(part);
  texts.set(part, known);
  return known;
}

/** What is kept set against a study: what of it has changed since each was walked. */
export function keptOf(input: StudyInput, kept: Kept): KeptWalks {
  return new Map(
    ledgerWalks(input).flatMap((walk) => {
      const name = ledgerWalkName(walk);
      const then = kept.get(name);
      if (then === undefined) return [];
      const now = ledgerWalkReads(input, walk);
      const changed = [...new Set([...Object.keys(now), ...Object.keys(then.reads)])]
        .filter((part) => now[part] !== then.reads[part] && textOf(now[part]) !== textOf(then.reads[part]))
        .map((part) => `${part} changed`)
        .join('; ');
      return [[name, { walked: then.walked, ...(changed !== '' && { changed }) }]];
    }),
  );
}

/** What of a study must be walked: never was, or has changed since. */
const leftOf = (input: Pick<StudyInput, 'requirements'>, walks: KeptWalks) =>
  ledgerWalks(input).filter((walk) => {
    const known = walks.get(ledgerWalkName(walk));
    return known === undefined || known.changed !== undefined;
  });

/** The ledger with what walks judge in it. */
export interface WithWalks {
  readonly rows: readonly ShownRow[];
  /** Walks again; only where what walks could not be read or run. */
  readonly again?: () => void;
}

/**
 * The lines that walks judge, walked beside the page once the design has stood for a while and only where somebody looks. Until then a line stands
 * as it was, stale where something it reads has changed.
 */
export function useLedgerWalks(input: StudyInput, ledger: readonly LedgerRow[], looked: boolean): WithWalks {
  const [kept, setKept] = useState<Kept>(new Map());
  const [lost, setLost] = useState(false);
  const latest = useRef(kept);
  latest.current = kept;
  const walking = looked && !lost;
  useEffect(() => {
    if (!walking) return;
    let stop = () => {};
    const timer = setTimeout(() => {
      const walks = leftOf(input, keptOf(input, latest.current));
      if (walks.length === 0) return;
      stop = askLedgerWalks(
        { input, walks },
        ({ walk, walked }) =>
          setKept((was) =>
            new Map(was).set(ledgerWalkName(walk), { reads: ledgerWalkReads(input, walk), walked }),
          ),
        () => setLost(true),
      );
    }, SETTLED);
    return () => {
      clearTimeout(timer);
      stop();
    };
  }, [input, walking]);
  const again = useCallback(() => setLost(false), []);
  const rows = useMemo(() => {
    const walks = keptOf(input, kept);
    return withWalks(input, ledger, walks).map((row): ShownRow => {
      if (row.walk === undefined || leftOf({ requirements: [row.requirement] }, walks).length === 0)
        return row;
      return { ...row, pending: walking ? 'walking …' : 'to walk' };
    });
  }, [input, ledger, kept, walking]);
  return { rows, ...(lost && { again }) };
}
