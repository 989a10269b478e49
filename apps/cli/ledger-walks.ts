import { setImmediate } from 'node:timers/promises';
import {
  type KeptWalk,
  type KeptWalks,
  type LedgerWalk,
  type LedgerWalked,
  ledgerWalkName,
  ledgerWalkReads,
  ledgerWalks,
  openLedgerWalk,
  type StudyInput,
} from '@striderule/engine';
import { fingerprint, nearResult, type ResultKey } from '@striderule/store';
import { keeper, storedResult } from './kept-result.ts';
import { longWork } from './long-work.ts';

/** ms between two looks at Ctrl-C and at the progress. */
const LOOK = 50;

interface Asked {
  readonly walk: LedgerWalk;
  readonly name: string;
  readonly key: ResultKey;
}

/** Everything the ledger must have walked, each under the fingerprints of all that it reads. */
function asked(input: StudyInput): readonly Asked[] {
  // most walks read the same parts: each is looked at once
  const known = new Map<unknown, string>();
  const print = (part: unknown): string => {
    const found = known.get(part) ?? fingerprint(part);
    known.set(part, found);
    return found;
  };
  return ledgerWalks(input).map((walk) => ({
    walk,
    name: ledgerWalkName(walk),
    key: {
      stage: 'walks',
      inputs: Object.fromEntries(
        Object.entries(ledgerWalkReads(input, walk)).map(([name, part]) => [name, print(part)]),
      ),
    },
  }));
}

/** What is kept of the ledger's walks, nothing walked: those of other inputs with what has changed since. */
export async function keptWalks(folder: string, input: StudyInput): Promise<KeptWalks> {
  const kept = new Map<string, KeptWalk>();
  for (const { name, key } of asked(input)) {
    const fits = await storedResult(folder, key);
    if (fits !== undefined) kept.set(name, { walked: fits as LedgerWalked });
    else {
      const near = await nearResult(folder, key, ['walk']);
      if (near !== undefined) kept.set(name, { walked: near.value as LedgerWalked, changed: near.changed });
    }
  }
  return kept;
}

/**
 * The ledger's walks: those that are kept and fit, and the others walked now. Each is kept in `results/walks/` as it is done. Throws an AbortError
 * on Ctrl-C, within 50 ms.
 */
export async function walkedLedger(folder: string, input: StudyInput): Promise<KeptWalks> {
  const kept = new Map<string, KeptWalk>();
  const left: Asked[] = [];
  for (const each of asked(input)) {
    const fits = await storedResult(folder, each.key);
    if (fits === undefined) left.push(each);
    else kept.set(each.name, { walked: fits as LedgerWalked });
  }
  if (left.length === 0) return kept;
  const keep = keeper(folder, 'evidence ledger');
  await longWork('Walking', async (signal, shown) => {
    for (const [k, { walk, name, key }] of left.entries()) {
      const open = openLedgerWalk(input, walk);
      let looked = performance.now();
      for (let share = 0; share < 1; ) {
        share = open.next();
        if (performance.now() - looked < LOOK) continue;
        shown.to((k + share) / left.length, name);
        await setImmediate();
        signal.throwIfAborted();
        looked = performance.now();
      }
      const walked = open.walked();
      kept.set(name, { walked });
      await keep(key, walked);
      shown.to((k + 1) / left.length, name);
    }
  });
  return kept;
}
