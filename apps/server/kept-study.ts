import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { catalogueEntry, ENGINE_VERSION, metricCatalogue, type StudyInput } from '@striderule/engine';
import { canonicalJson, fingerprint, openStudy } from '@striderule/store';
import type { MetricWords, StudyPayload } from '@striderule/wire';
import { looksOf, stateOf } from './folder-state.ts';
import { sentLeg } from './sent-leg.ts';

/** A study as it was read from a state of its folder, as JSON, and the same compressed. */
export interface ReadStudy {
  readonly input: StudyInput;
  readonly fingerprint: string;
  readonly state: string;
  readonly text: string;
  readonly packed: Buffer<ArrayBuffer>;
}

/** The study, read and compressed once for each state of its folder. Faults: those of `openStudy`; they are not kept. */
export type KeptStudy = () => Promise<ReadStudy>;

/**
 * Whoever asks while the folder looks as it did gets what was read then; a file that looks otherwise, came or went means
 * that it is read anew. Two that ask at once wait for one reading.
 */
export function keepStudy(folder: string): KeptStudy {
  let last: { readonly state: string; readonly body: Promise<ReadStudy> } | undefined;
  return async () => {
    // looked at before it is read: a change in between makes it stale, never unnoticed
    const state = stateOf(await looksOf(folder));
    if (last?.state !== state) {
      const read = { state, body: readOf(folder, state) };
      last = read;
      read.body.catch(() => {
        if (last === read) last = undefined;
      });
    }
    return last.body;
  };
}

async function readOf(folder: string, state: string): Promise<ReadStudy> {
  const { input } = await openStudy(folder);
  const payload = payloadOf(folder, input, state);
  const text = canonicalJson(payload);
  return { input, fingerprint: payload.fingerprint, state, text, packed: gzipSync(text) };
}

function payloadOf(folder: string, read: StudyInput, state: string): StudyPayload {
  const input = { ...read, leg: sentLeg(read.leg) };
  return {
    input,
    metrics: Object.fromEntries(input.requirements.map(({ metric }) => [metric, wordsOf(metric)])),
    folderName: path.basename(path.resolve(folder)),
    engineVersion: ENGINE_VERSION,
    fingerprint: fingerprint(input),
    state,
    readAt: new Date().toISOString(),
  };
}

function wordsOf(name: string): MetricWords {
  const { title, kind, unit, formula, chapter, only, cautions } = catalogueEntry(name)!;
  const reads = metricCatalogue[name]?.reads;
  return {
    ...{ title, kind, unit, formula, chapter, cautions },
    ...(only !== undefined && { only }),
    ...(reads !== undefined && { reads }),
  };
}
