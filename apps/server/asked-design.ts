import { changedStudy, Fault, type StudyInput } from '@striderule/engine';
import { fingerprint, openStudy } from '@striderule/store';
import type { WorkRequest } from '@striderule/wire';
import type { KeptStudy } from './kept-study.ts';
import { legAsSent } from './sent-leg.ts';
import { sentRequirements } from './work-request.ts';

/** The study that is asked about, and a key that is the same for whoever asks the same of the same. */
export interface AskedDesign {
  readonly input: StudyInput;
  readonly key: string;
}

/** Readings of a folder that the page asks about one after another: another speed, another length, is the same design. */
const KEPT = 8;

/** The folder has become another than the one that the page read. */
export class StaleDesign extends Fault {}

/**
 * Puts the study together that the page means: the one on disk, with what differs from it on the page. StaleDesign where what is on disk is no
 * longer what the page read; Fault where the study cannot be read or cannot be changed so.
 */
export function askedDesigns(
  folder: string,
  study: KeptStudy,
): (request: WorkRequest) => Promise<AskedDesign> {
  const known = new Map<string, StudyInput>();
  return async ({ design, ask }) => {
    const read = await study();
    if (read.fingerprint !== design.fingerprint) throw stale('the study');
    const walks = ask.kind !== 'tolerance';
    const name = JSON.stringify([read.state, design, walks]);
    const input = known.get(name) ?? (await madeOf(folder, read.input, design, walks));
    known.delete(name);
    known.set(name, input);
    for (const old of known.keys()) {
      if (known.size <= KEPT) break;
      known.delete(old);
    }
    return { input, key: fingerprint({ design: printOf(input), ask }) };
  };
}

const prints = new WeakMap<StudyInput, string>();

function printOf(input: StudyInput): string {
  const print = prints.get(input) ?? fingerprint(input);
  prints.set(input, print);
  return print;
}

async function madeOf(
  folder: string,
  saved: StudyInput,
  { change, leg: asked }: WorkRequest['design'],
  walks: boolean,
): Promise<StudyInput> {
  const { requirements: sent, ...rest } = change;
  const requirements = sent === undefined ? undefined : sentRequirements(saved.requirements, sent);
  const own = changedStudy(saved, { ...rest, ...(requirements !== undefined && { requirements }) });
  // a walk reads no requirement: it stays the same when one is asked otherwise
  const input = walks ? { ...own, requirements: [] } : own;
  if (asked === undefined) return input;
  const { leg, spreads } = (await openStudy(folder, { leg: asked.name })).input;
  if (legAsSent(leg, spreads).fingerprint !== asked.fingerprint) throw stale(`the leg ${asked.name}`);
  return { ...input, leg, spreads };
}

const stale = (what: string): StaleDesign =>
  new StaleDesign({
    code: 'server.study-changed',
    what: `${what} on disk is no longer the one that this page read`,
    mend: 'Wait until the page has read it again, or reload the page, and start once more',
  });
