import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { catalogueEntry, ENGINE_VERSION, metricCatalogue } from '@striderule/engine';
import { canonicalJson, fingerprint, openStudy } from '@striderule/store';
import type { MetricWords, StudyPayload } from '@striderule/wire';
import { looksOf, stateOf } from './folder-state.ts';
import { sentLeg } from './sent-leg.ts';

/** A study as JSON, and the same compressed. */
export interface StudyText {
  readonly text: string;
  readonly packed: Buffer<ArrayBuffer>;
}

/** The study, read and compressed once for each state of its folder. Faults: those of `openStudy`; they are not kept. */
export type KeptStudy = () => Promise<StudyText>;

/**
 * Whoever asks while the folder looks as it did gets what was read then; a file that looks otherwise, came or went means
 * that it is read anew. Two that ask at once wait for one reading.
 */
export function keepStudy(folder: string): KeptStudy {
  let last: { readonly state: string; readonly body: Promise<StudyText> } | undefined;
  return async () => {
    // looked at before it is read: a change in between makes it stale, never unnoticed
    const state = stateOf(await looksOf(folder));
    if (last?.state !== state) {
      const read = { state, body: payloadOf(folder, state).then(textOf) };
      last = read;
      read.body.catch(() => {
        if (last === read) last = undefined;
      });
    }
    return last.body;
  };
}

function textOf(payload: StudyPayload): StudyText {
  const text = canonicalJson(payload);
  return { text, packed: gzipSync(text) };
}

async function payloadOf(folder: string, state: string): Promise<StudyPayload> {
  const opened = await openStudy(folder);
  const input = { ...opened.input, leg: sentLeg(opened.input.leg) };
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
